//! From the times of a driver's edges to the light that they take.

use crate::Error;
use crate::density::{Edge, Stretch};

/// The times of a driver's linear edges, in picoseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct EdgeTimes {
    /// From no current to full current.
    pub rise_ps: u32,
    /// From full current to no current.
    pub fall_ps: u32,
    /// From switching on until the current begins to rise.
    pub on_delay_ps: u32,
    /// From switching off until the current begins to fall.
    pub off_delay_ps: u32,
}

/// The light that a rising edge and its falling edge take together, in ticks of full light; negative if they give some.
///
/// *Units and range*: -16 to 16 in units of 2^-26 ticks. It belongs to a channel and a range.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct EdgeLoss {
    loss: i32,
    /// The shortest decision whose pulses and gaps both reach their end, in units of 2^-26 ticks.
    least: u32,
}

/// Fraction bits of a loss.
const BITS: u32 = 26;
const MOST: i64 = 16 << BITS;

impl EdgeLoss {
    /// Edges of an ideal driver.
    pub const NONE: Self = Self { loss: 0, least: 0 };

    /// `((rise - fall) / 2 + on_delay - off_delay) / tick`, rounded towards none.
    ///
    /// # Errors
    /// [`Error::Tick`] for a tick of 0, [`Error::Edge`] if the edges take or need more than 16 ticks.
    /// *Source*: the charge of a pulse with linear edges.
    pub const fn from_times(times: &EdgeTimes, tick_ps: u32) -> Result<Self, Error> {
        if tick_ps == 0 {
            return Err(Error::Tick);
        }
        let (rise, fall) = (times.rise_ps as i64, times.fall_ps as i64);
        let later = times.on_delay_ps as i64 - times.off_delay_ps as i64;
        let half_ticks = (rise - fall + 2 * later) << (BITS - 1);
        let lit = rise + later;
        let dark = fall - later;
        let least = if lit > dark { lit } else { dark };
        // Rounded up, and as a sum of two non-negative numbers at least 0.
        let least = ((least << BITS) + tick_ps as i64 - 1) / tick_ps as i64;
        Self::checked(half_ticks / tick_ps as i64, least)
    }

    /// A loss that was measured: `numerator / denominator` ticks an edge, rounded towards none.
    ///
    /// # Errors
    /// [`Error::Edge`] for a zero denominator or a loss of more than 16 ticks either way.
    pub const fn from_ratio(numerator: i32, denominator: u32) -> Result<Self, Error> {
        if denominator == 0 {
            return Err(Error::Edge);
        }
        Self::checked(((numerator as i64) << BITS) / denominator as i64, 0)
    }

    const fn checked(loss: i64, least: i64) -> Result<Self, Error> {
        if loss < -MOST || loss > MOST || least > MOST {
            return Err(Error::Edge);
        }
        Ok(Self {
            loss: loss as i32,
            least: least as u32,
        })
    }

    /// The loss in decisions.
    ///
    /// # Errors
    /// [`Error::Edge`] for a loss of a whole decision or more either way, or edges longer than a decision: a
    /// pulse would not be a pulse any more.
    pub(super) const fn of_decision(self, stretch: Stretch) -> Result<Edge, Error> {
        let decision = 1 << (BITS + stretch.shift());
        if self.loss <= -decision || self.loss >= decision || self.least > decision as u32 {
            return Err(Error::Edge);
        }
        Edge::from_bits((((self.loss as i64) << (31 - BITS)) >> stretch.shift()) as i32)
    }
}
