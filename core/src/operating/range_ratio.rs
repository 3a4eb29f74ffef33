//! What one set point of a driver gives beside another.

use fixed::types::U12F20;

use crate::Error;

/// Full light of the channel over the full light of a range: a ratio of *light*, not of current.
///
/// *Units and range*: 1 to 1024 in units of 2^-20.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RangeRatio(U12F20);

#[cfg(feature = "defmt")]
impl defmt::Format for RangeRatio {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "RangeRatio({=u32})", self.to_bits());
    }
}

impl RangeRatio {
    /// The highest set point.
    pub const ONE: Self = Self(U12F20::ONE);
    const MOST: U12F20 = U12F20::const_from_int(1024);

    /// From a fixed-point number.
    ///
    /// # Errors
    /// [`Error::RangeRatio`] below 1 or above 1024.
    pub const fn from_fixed(ratio: U12F20) -> Result<Self, Error> {
        let bits = ratio.to_bits();
        if bits < U12F20::ONE.to_bits() || bits > Self::MOST.to_bits() {
            Err(Error::RangeRatio)
        } else {
            Ok(Self(ratio))
        }
    }

    /// `numerator / denominator`, rounded to the nearest unit. Cost: one 64-bit division; for set-up.
    ///
    /// # Errors
    /// [`Error::RangeRatio`] below 1 or above 1024, or for a zero denominator.
    pub const fn from_ratio_nearest(numerator: u32, denominator: u32) -> Result<Self, Error> {
        if denominator == 0 || numerator < denominator {
            return Err(Error::RangeRatio);
        }
        let bits = (((numerator as u64) << 20) + (denominator / 2) as u64) / denominator as u64;
        if bits > Self::MOST.to_bits() as u64 {
            return Err(Error::RangeRatio);
        }
        Self::from_fixed(U12F20::from_bits(bits as u32))
    }

    /// In units of 2^-20.
    pub const fn to_bits(self) -> u32 {
        self.0.to_bits()
    }
}
