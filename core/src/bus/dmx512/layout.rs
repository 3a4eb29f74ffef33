//! Which slots mean what.

use super::SLOTS;
use crate::Error;

/// How many slots make a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Width {
    /// One slot: 8 bits, 255 is full.
    Coarse,
    /// Two slots, the coarse one first: 16 bits. *Source*: common practice, outside E1.11 (from memory).
    CoarseFine,
}

/// What a value is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Role {
    /// The Level of the luminaire.
    Level,
    /// The share of a channel, counted from 0.
    Channel(u8),
    /// Chromaticity x in units of 1 / 65 536.
    X,
    /// Chromaticity y in units of 1 / 65 536.
    Y,
    /// Colour temperature: even in mirek from the coolest at 0 to the warmest at full.
    Mirek {
        /// At value 0, in mirek.
        coolest: u16,
        /// At full value, in mirek; not below the coolest.
        warmest: u16,
    },
}

/// A row of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Row {
    /// The first slot, 1 to 512; slot 0 holds the START code.
    pub slot: u16,
    /// How many slots.
    pub width: Width,
    /// What for.
    pub role: Role,
}

impl Row {
    /// Refuses slots outside a packet and an empty range of colour temperatures.
    pub(super) const fn validate(self) -> Result<(), Error> {
        let last = match self.width {
            Width::Coarse => self.slot,
            Width::CoarseFine => self.slot.saturating_add(1),
        };
        if self.slot == 0 || last as usize > SLOTS {
            return Err(Error::Slot);
        }
        match self.role {
            Role::Mirek { coolest, warmest } if coolest > warmest => Err(Error::Slot),
            _ => Ok(()),
        }
    }

    /// The value in a packet, its START code first, over the whole of 32 bits; none beyond its end.
    pub(super) fn read(self, packet: &[u8]) -> Option<u32> {
        let first = usize::from(self.slot);
        let coarse = *packet.get(first)?;
        let value = match self.width {
            Width::Coarse => u16::from_be_bytes([coarse, coarse]),
            Width::CoarseFine => u16::from_be_bytes([coarse, *packet.get(first + 1)?]),
        };
        Some(u32::from(value) * 0x0001_0001)
    }
}
