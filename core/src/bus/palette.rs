//! Prepared recipes for the colours that a bus asks for.

use super::Colour;
use crate::curve::{ControlCurve, ControlLevel};
use crate::{Error, Knots, Level, Recipe, Share};

/// K recipes at K colour temperatures, straight lines between; what is cooler or warmer takes the end.
///
/// Firmware that has a palette needs no solver. Primary levels are the shares of the channels in their order as they stand.
///
/// *Error, cost, size*: those of [`Knots`], which it is, over mirek in the place of Levels; a primary's share is within 3 units of
/// 2^-32. *Interrupts*: may be read from any.
///
/// ```
/// use milliglow::bus::{Colour, Palette};
/// use milliglow::{Recipe, Share, constant};
/// const WARM: Recipe<2> = Recipe::new([Share::FULL, Share::NONE]);
/// const COOL: Recipe<2> = Recipe::new([Share::NONE, Share::FULL]);
/// const PALETTE: Palette<2, 2> = constant!(Palette::new([(167, COOL), (370, WARM)]));
/// assert_eq!(PALETTE.recipe(Colour::Mirek(400)), Some(WARM));
/// assert_eq!(PALETTE.recipe(Colour::Chromaticity { x: 1, y: 1 }), None); // for a solver
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Palette<const N: usize, const K: usize>(Knots<N, K>);

impl<const N: usize, const K: usize> Palette<N, K> {
    /// From recipes at colour temperatures in mirek, the coolest first.
    ///
    /// # Errors
    /// [`Error::Knots`] for none, more than 16, or mirek that do not rise.
    pub const fn new(recipes: [(u16, Recipe<N>); K]) -> Result<Self, Error> {
        let mut knots = [(Level::OFF, Recipe::new([Share::NONE; N])); K];
        let mut k = 0;
        while k < K {
            knots[k] = (Level::from_bits(recipes[k].0), recipes[k].1);
            k += 1;
        }
        match Knots::new(knots) {
            Ok(knots) => Ok(Self(knots)),
            Err(error) => Err(error),
        }
    }

    /// The recipe of a colour; none for a chromaticity.
    #[must_use]
    pub fn recipe(&self, colour: Colour) -> Option<Recipe<N>> {
        match colour {
            Colour::Mirek(mirek) => Some(self.0.recipe(Level::from_bits(mirek))),
            Colour::Chromaticity { .. } => None,
            Colour::Primaries(levels) => Some(shares(levels.map(primary))),
            Colour::Rgbwaf(levels) => Some(shares(levels.map(dim_level))),
        }
    }
}

/// As many channels as there are; further ones stay dark.
fn shares<const N: usize, const P: usize>(given: [Share; P]) -> Recipe<N> {
    let mut shares = [Share::NONE; N];
    for (share, given) in shares.iter_mut().zip(given) {
        *share = given;
    }
    Recipe::new(shares)
}

/// 65 534 is full: 2^32 / 65 534 is 65 538 and 4.6e-5.
fn primary(level: u16) -> Share {
    match level {
        65_534.. => Share::FULL,
        level => Share::from_bits(u32::from(level) * 65_538),
    }
}

/// 254 is full, in proportion.
fn dim_level(number: u8) -> Share {
    match ControlLevel::new(number.min(254)) {
        Ok(level) => Share::from_bits(ControlCurve::Linear.light(level).to_bits()),
        Err(_) => Share::NONE,
    }
}
