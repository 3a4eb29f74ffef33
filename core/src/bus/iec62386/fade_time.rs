//! How long a fade takes and how fast up and down move: the tables.

/// Fade times in tenths of a second; code 0 stands for the extended fade time.
/// *Source*: IEC 62386-102, table 4 (values of the table as two sources agree, not its formula).
const TENTHS: [u16; 16] = [
    0, 7, 10, 14, 20, 28, 40, 57, 80, 113, 160, 226, 320, 453, 640, 905,
];

/// Fade rates in thousandths of a control level a second; code 0 is not allowed.
/// *Source*: IEC 62386-102, table of fade rates (two sources agree).
const MILLILEVELS: [u32; 16] = [
    0, 357_796, 253_000, 178_898, 126_500, 89_449, 63_250, 44_725, 31_625, 22_362, 15_813, 11_181,
    7_906, 5_591, 3_953, 2_795,
];

/// Extended fade: tenths of a second of each multiplier. *Source*: IEC 62386-102, table 7.
const MULTIPLIERS: [u16; 5] = [0, 1, 10, 100, 600];

/// The code of a fade time, 0 to 15.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct FadeTime(u8);

impl FadeTime {
    /// From a code; above 15 it is 15.
    pub const fn from_code_saturating(code: u8) -> Self {
        Self(if code > 15 { 15 } else { code })
    }

    /// The code, 0 to 15.
    pub const fn code(self) -> u8 {
        self.0
    }

    /// In tenths of a second; none for code 0, for which the extended fade time holds.
    pub const fn tenths(self) -> Option<u16> {
        match self.0 {
            0 => None,
            code => Some(TENTHS[code as usize & 15]),
        }
    }
}

/// An extended fade time: 1 to 16 times a multiplier, at most 16 minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ExtendedFadeTime(u8);

impl ExtendedFadeTime {
    /// From a byte: base in bits 0 to 3, multiplier in bits 4 to 6 (packing from memory). What is reserved becomes 0.
    pub const fn from_byte(byte: u8) -> Self {
        Self(if byte > 0x4F { 0 } else { byte })
    }

    /// The byte, 0 to 79.
    pub const fn byte(self) -> u8 {
        self.0
    }

    /// In tenths of a second.
    pub const fn tenths(self) -> u16 {
        let base = (self.0 & 15) as u16 + 1;
        let index = (self.0 >> 4) as usize;
        let multiplier = if index < MULTIPLIERS.len() {
            MULTIPLIERS[index]
        } else {
            0
        };
        base * multiplier
    }
}

/// The code of a fade rate, 1 to 15.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct FadeRate(u8);

impl FadeRate {
    /// The code after a reset.
    pub const DEFAULT: Self = Self(7);

    /// From a code; 0 becomes 1, above 15 it is 15.
    pub const fn from_code_saturating(code: u8) -> Self {
        match code {
            0 => Self(1),
            1..=15 => Self(code),
            _ => Self(15),
        }
    }

    /// The code, 1 to 15.
    pub const fn code(self) -> u8 {
        self.0
    }

    /// In thousandths of a control level a second.
    pub const fn millilevels_a_second(self) -> u32 {
        MILLILEVELS[self.0 as usize & 15]
    }
}
