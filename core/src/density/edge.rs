//! What a driver's edges take of the light, and what a decision is.

use super::Stretch;
use crate::Error;

/// The light that a rising edge and its falling edge take together, in full-on decisions; negative if they give some.
///
/// *Units and range*: above -1, below 1, in units of 2^-31 decisions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Edge(i32);

impl Edge {
    /// Edges of an ideal driver.
    pub const NONE: Self = Self(0);

    /// From units of 2^-31 decisions.
    ///
    /// # Errors
    /// [`Error::Edge`] for -1, the lowest value.
    pub const fn from_bits(bits: i32) -> Result<Self, Error> {
        if bits == i32::MIN {
            Err(Error::Edge)
        } else {
            Ok(Self(bits))
        }
    }

    /// In units of 2^-31 decisions.
    pub const fn to_bits(self) -> i32 {
        self.0
    }

    /// In units of 2^-32 decisions, the unit of charge.
    pub(crate) const fn charge(self) -> i64 {
        2 * self.0 as i64
    }
}

/// What one decision of a modulator is: how long it lasts, and what an edge takes that the modulator books.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Decision {
    /// Ticks a decision.
    pub stretch: Stretch,
    /// What each rising edge takes. First order pays no heed to it: there the density can be corrected in closed form.
    pub edge: Edge,
}

impl Decision {
    /// A tick a decision, ideal edges.
    pub const PLAIN: Self = Self {
        stretch: Stretch::One,
        edge: Edge::NONE,
    };
}
