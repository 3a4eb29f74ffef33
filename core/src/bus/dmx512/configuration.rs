//! What a receiver is, and what it counts.

use super::Row;
use crate::Error;

/// What to do when packets stay away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum OnLoss<const N: usize> {
    /// Keep the last values: customary.
    Hold,
    /// Fade every value.
    Fade {
        /// To these, 65 535 for full, in the order of the rows.
        values: [u16; N],
        /// In so many tenths of a second.
        tenths: u16,
    },
}

/// What a receiver is: may sit in flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Configuration<const N: usize> {
    /// What is where.
    pub rows: [Row; N],
    /// The values before the first packet, 65 535 for full.
    pub start: [u16; N],
    /// Control steps a second, 100 to 10 000.
    pub control_hz: u16,
    /// By how much a creeping slot of 8 bits is delayed, 20 to 2 000 ms, but at most 31 packets: the filter looks as far ahead.
    pub creep_ms: u16,
    /// Time without a packet after which data are lost, in ms: 1 000 or more, for packets may be a second apart (ANSI E1.11).
    pub loss_ms: u16,
    /// What to do then.
    pub on_loss: OnLoss<N>,
}

/// What came in, each count up to 65 535.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Counts {
    /// Packets taken.
    pub taken: u16,
    /// Of them, those that ended before the last slot of the layout; what they lacked was left as it was.
    pub short: u16,
    /// Packets with another START code.
    pub foreign: u16,
    /// Packets refused otherwise.
    pub refused: u16,
    /// Times that data were lost.
    pub losses: u16,
}

impl<const N: usize> Configuration<N> {
    pub(super) const fn validate(&self) -> Result<(), Error> {
        if self.control_hz < 100 || self.control_hz > 10_000 {
            return Err(Error::ControlRate);
        }
        if self.creep_ms < 20 || self.creep_ms > 2_000 {
            return Err(Error::CreepTime);
        }
        if self.loss_ms < 1_000 {
            return Err(Error::LossTime);
        }
        let mut k = 0;
        while k < N {
            if let Err(error) = self.rows[k].validate() {
                return Err(error);
            }
            k += 1;
        }
        Ok(())
    }

    /// Control steps, rounded up.
    pub(super) const fn loss_steps(&self) -> u32 {
        (self.loss_ms as u32 * self.control_hz as u32).div_ceil(1_000)
    }
}

impl Counts {
    pub(super) const NONE: Self = Self {
        taken: 0,
        short: 0,
        foreign: 0,
        refused: 0,
        losses: 0,
    };
}
