//! The rows of a channel, and which is in force.

use super::Row;
use crate::density::{Density, Modulation, Stretch};
use crate::{Error, Light};

/// What bridges the time that the driver takes from one set point to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum Settling {
    /// The set point is there with the next tick.
    #[default]
    AtOnce,
    /// The channel stays dark for so many words of 32 ticks, and gives the light that it owes afterwards.
    Dark {
        /// Words of 32 ticks, 1 to 255.
        words: u8,
    },
    /// The stream goes on while the set point moves exponentially; what that gave too much or too little is made up for when it
    /// has arrived. Right in the mean, for a steady density and several pulses in a time constant.
    Booked {
        /// The time constant in ticks.
        ticks: u16,
        /// After how many words of 32 ticks it has arrived: about five time constants.
        words: u8,
    },
}

/// A row and the lights at which it stays in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(C)]
pub(crate) struct Placed {
    /// The last light of up to half density, but that it lies in the bounds: one comparison says which of them is left to check.
    knee: u32,
    lowest: u32,
    highest: u32,
    pub(crate) row: Row,
}

impl Placed {
    const PLAIN: Self = Self::new(Row::PLAIN, 0, u32::MAX);

    const fn new(row: Row, lowest: u32, highest: u32) -> Self {
        let knee = row.knee();
        Self {
            knee: if knee > highest {
                highest
            } else if lowest > 0 && knee < lowest {
                lowest - 1
            } else {
                knee
            },
            lowest,
            highest,
            row,
        }
    }

    /// The density for a light, unless that leaves the row.
    #[inline(always)]
    pub(crate) const fn density_held(&self, light: Light) -> Option<Density> {
        if light.to_bits() <= self.knee {
            if light.to_bits() < self.lowest {
                return None;
            }
            Some(self.row.below_half(light))
        } else {
            if light.to_bits() > self.highest {
                return None;
            }
            Some(self.row.above_half(light))
        }
    }
}

/// 1 to 8 rows, the lowest first.
///
/// *Flash or RAM*: 424 bytes; channels with the same rows can share one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Table {
    rows: [Placed; Self::MOST_ROWS],
    last: u8,
    /// The longest stretch of all rows.
    longest: Stretch,
    settling: Settling,
}

impl Table {
    /// The most rows of a table.
    pub const MOST_ROWS: usize = 8;

    /// An ideal driver of one range, a tick a decision.
    pub const PLAIN: Self = Self {
        rows: [Placed::PLAIN; Self::MOST_ROWS],
        last: 0,
        longest: Stretch::One,
        settling: Settling::AtOnce,
    };

    /// From rows in the order of their light. A row is left upwards at the next row's `from_light`, and downwards
    /// `2^-hysteresis_shift` of its own `from_light` below it.
    ///
    /// # Errors
    /// [`Error::Rows`] for none or more than 8, [`Error::RowOrder`] if the first does not begin at black or one does not begin
    /// above the one before, [`Error::RowFull`] if a row does not reach the light at which the next begins, or the last not full
    /// light, [`Error::Hysteresis`] for a shift of 0 or above 15.
    pub const fn new(rows: &[Row], hysteresis_shift: u8) -> Result<Self, Error> {
        let [first, ..] = rows else {
            return Err(Error::Rows);
        };
        if rows.len() > Self::MOST_ROWS {
            return Err(Error::Rows);
        }
        if hysteresis_shift == 0 || hysteresis_shift > 15 {
            return Err(Error::Hysteresis);
        }
        if first.from_light().to_bits() != 0 {
            return Err(Error::RowOrder);
        }
        let mut table = Self::PLAIN;
        table.last = (rows.len() - 1) as u8;
        let (mut row, mut rest) = (first, rows);
        let mut k = 0;
        while k < Self::MOST_ROWS {
            if let [this, following @ ..] = rest {
                (row, rest) = (this, following);
            }
            let mut highest = u32::MAX;
            if let [next, ..] = rest {
                if let Err(error) = Self::follows(row, next) {
                    return Err(error);
                }
                highest = next.from_light().to_bits() - 1;
            }
            let from = row.from_light().to_bits();
            let lowest = from - (from >> hysteresis_shift);
            table.rows[k] = Placed::new(*row, lowest, highest);
            k += 1;
        }
        if row.full().to_bits() < u32::MAX {
            return Err(Error::RowFull);
        }
        table.longest = table.extreme(true);
        Ok(table)
    }

    const fn follows(row: &Row, next: &Row) -> Result<(), Error> {
        if next.from_light().to_bits() <= row.from_light().to_bits() {
            Err(Error::RowOrder)
        } else if next.from_light().to_bits() > row.full().to_bits() {
            Err(Error::RowFull)
        } else {
            Ok(())
        }
    }

    /// The same rows, with what bridges a change of range.
    #[must_use]
    pub const fn with_settling(self, settling: Settling) -> Self {
        Self { settling, ..self }
    }

    /// What bridges a change of range.
    pub const fn settling(&self) -> Settling {
        self.settling
    }

    /// The row for a channel light, from the row in force: one comparison chain, two comparisons where no row changes.
    #[must_use]
    pub const fn row(&self, light: Light, present: u8) -> u8 {
        let mut row = if present > self.last {
            self.last
        } else {
            present
        };
        // The last row has no highest light but full, the first no lowest but black.
        while light.to_bits() > self.rows[(row & 7) as usize].highest {
            row = row.wrapping_add(1);
        }
        while light.to_bits() < self.rows[(row & 7) as usize].lowest {
            row = row.wrapping_sub(1);
        }
        row
    }

    /// A row by its number; the last for any higher one.
    #[must_use]
    #[inline(always)]
    pub const fn at(&self, row: u8) -> &Row {
        &self.placed(row).row
    }

    /// The same, with the lights at which it stays in force.
    #[inline(always)]
    pub(crate) const fn placed(&self, row: u8) -> &Placed {
        // All eight are filled, from the last on with the last.
        &self.rows[if row < 8 { row } else { 7 } as usize]
    }

    /// The rows.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        let rows = self.rows.iter().map(|placed| &placed.row);
        rows.take(usize::from(self.last) + 1)
    }

    /// The longest stretch of all rows.
    #[must_use]
    pub const fn longest(&self) -> Stretch {
        self.longest
    }

    /// Whether it changes nothing: light is density, a tick a decision.
    pub(crate) const fn is_plain(&self) -> bool {
        self.last == 0 && self.rows[0].row.is_plain()
    }

    /// Whether the rows correct edges the way that the modulation asks for.
    pub(crate) const fn suits(&self, modulation: Modulation) -> bool {
        let mut k = 0;
        while k < self.rows.len() {
            if !self.rows[k].row.suits(modulation) {
                return false;
            }
            k += 1;
        }
        true
    }

    /// The shortest on- and off-time of the channel in ticks.
    #[must_use]
    pub const fn shortest_ticks(&self) -> u32 {
        self.extreme(false).ticks()
    }

    const fn extreme(&self, longest: bool) -> Stretch {
        let mut found = self.rows[0].row.decision().stretch;
        let mut k = 1;
        while k < self.rows.len() {
            let stretch = self.rows[k].row.decision().stretch;
            if (stretch.shift() > found.shift()) == longest {
                found = stretch;
            }
            k += 1;
        }
        found
    }
}
