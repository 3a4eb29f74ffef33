//! Temperatures of boards and junctions.

use crate::Error;

/// A temperature.
///
/// *Units and range*: 2^-6 degrees Celsius, -512 to 511.98.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(transparent)]
pub struct Temperature(i16);

impl Temperature {
    /// The lowest that a board may have, -40 degrees Celsius; what is below counts as absurd.
    pub const LOWEST_BOARD: Self = Self(-40 * 64);
    /// The highest that a board may have, 150 degrees Celsius; what is above counts as absurd.
    pub const HIGHEST_BOARD: Self = Self(150 * 64);

    /// From units of 2^-6 degrees Celsius.
    pub const fn from_bits(bits: i16) -> Self {
        Self(bits)
    }

    /// In units of 2^-6 degrees Celsius.
    pub const fn to_bits(self) -> i16 {
        self.0
    }

    /// From thousandths of a degree Celsius, rounded to the nearest unit. Divides.
    ///
    /// # Errors
    /// [`Error::Temperature`] below -60 or above 350 degrees Celsius: no LED is as cold or as warm.
    pub const fn from_millicelsius_nearest(millicelsius: i32) -> Result<Self, Error> {
        if millicelsius < -60_000 || millicelsius > 350_000 {
            return Err(Error::Temperature);
        }
        let half = if millicelsius < 0 { -500 } else { 500 };
        Ok(Self(((millicelsius * 64 + half) / 1_000) as i16))
    }

    /// In degrees Celsius; for hosts and tests.
    pub const fn as_celsius(self) -> f64 {
        self.0 as f64 / 64.0
    }

    /// Nearer to another by so many units, or there.
    pub(super) fn towards(self, other: Self, units: i16) -> Self {
        let low = self.0.saturating_sub(units);
        let high = self.0.saturating_add(units);
        Self(other.0.max(low).min(high))
    }

    /// Whether a board may have it.
    pub(super) const fn is_of_board(self) -> bool {
        self.0 >= Self::LOWEST_BOARD.0 && self.0 <= Self::HIGHEST_BOARD.0
    }
}
