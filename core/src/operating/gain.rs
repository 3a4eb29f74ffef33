//! A factor of 16 bits.

/// A factor of 1/2 to 32 767: `mantissa x 2^(exponent - 16)`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Gain {
    /// 2^15 to 2^16 - 1.
    mantissa: u16,
    /// 0 to 15; 1 for factors from 1 to 2.
    exponent: u8,
}

impl Gain {
    /// From units of 2^-20, rounded down by less than 2^-15 of itself; none outside 1/2 to 32 767.
    pub(super) const fn from_q20_floor(bits: u64) -> Option<Self> {
        let octave = match bits.checked_ilog2() {
            Some(octave) if octave >= 19 && octave <= 34 => octave,
            _ => return None,
        };
        Some(Self {
            mantissa: (bits >> (octave - 15)) as u16,
            exponent: (octave - 19) as u8,
        })
    }

    pub(super) const fn differs(self, other: Self) -> bool {
        self.mantissa != other.mantissa || self.exponent != other.exponent
    }

    /// The product, rounded down, exact for a factor of 1. Two 16 x 16 -> 32 bit products. The product must stay below 2^32.
    #[inline(always)]
    pub(super) const fn of(self, fraction: u32) -> u32 {
        let mantissa = self.mantissa as u32;
        let exponent = (self.exponent & 15) as u32;
        let high = (fraction >> 16) * mantissa;
        let low = (fraction & 0xFFFF) * mantissa;
        (high << exponent).wrapping_add(low >> (16 - exponent))
    }
}
