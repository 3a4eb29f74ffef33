//! Factors of flux.

use crate::Error;

/// A flux over the nominal one.
///
/// *Units and range*: 2^-30, 0.1 to 3.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(transparent)]
pub struct Factor(u32);

impl Factor {
    /// The nominal flux.
    pub const ONE: Self = Self(1 << 30);

    /// `numerator / denominator`, rounded to the nearest unit. Divides.
    ///
    /// # Errors
    /// [`Error::Factor`] below 0.1 or above 3, or for a zero denominator.
    pub const fn from_ratio_nearest(numerator: u32, denominator: u32) -> Result<Self, Error> {
        let (above, below) = (numerator as u64, denominator as u64);
        if below == 0 || above * 10 < below || above > 3 * below {
            return Err(Error::Factor);
        }
        Ok(Self((((above << 30) + below / 2) / below) as u32))
    }

    /// As a float; for hosts and tests.
    pub const fn as_f64(self) -> f64 {
        self.0 as f64 / 1_073_741_824.0
    }

    pub(super) const fn from_bits(bits: u32) -> Self {
        Self(bits)
    }

    pub(super) const fn to_bits(self) -> u32 {
        self.0
    }
}
