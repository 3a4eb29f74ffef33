//! A forward frame of 16 bits taken apart.

/// Whom a frame is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Address {
    /// One short address, 0 to 63.
    Short(u8),
    /// One group, 0 to 15.
    Group(u8),
    /// All gear without a short address.
    Unaddressed,
    /// All gear.
    Broadcast,
}

/// A forward frame: address byte first, then the data byte. *Source*: IEC 62386-102 (from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Frame {
    /// A direct arc power level.
    Level {
        /// Whom it is for.
        to: Address,
        /// 0 off, 1 to 254 a control level, 255 stop.
        number: u8,
    },
    /// A command.
    Command {
        /// Whom it is for.
        to: Address,
        /// Its number.
        code: u8,
    },
    /// A special command, for all gear.
    Special {
        /// The address byte.
        code: u8,
        /// The data byte.
        data: u8,
    },
    /// Reserved: for nobody.
    Reserved,
}

impl Frame {
    /// Takes a frame apart; any 16 bits are one.
    #[must_use]
    pub const fn decode(frame: u16) -> Self {
        let [first, second] = frame.to_be_bytes();
        let selected = (first >> 1) & 0x3F;
        let to = match first {
            0..=0x7F => Address::Short(selected),
            0x80..=0x9F => Address::Group(selected & 15),
            0xFC | 0xFD => Address::Unaddressed,
            0xFE | 0xFF => Address::Broadcast,
            0xA0..=0xCB if first & 1 == 1 => {
                return Self::Special {
                    code: first,
                    data: second,
                };
            }
            _ => return Self::Reserved,
        };
        if first & 1 == 0 {
            Self::Level { to, number: second }
        } else {
            Self::Command { to, code: second }
        }
    }
}
