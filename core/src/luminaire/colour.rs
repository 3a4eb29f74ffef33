//! The shares of a luminaire: on their way to a recipe, or as knots give them at the present Level.

use crate::fade::{Fade, Pace};
use crate::{KnotsRef, Level, Recipe, Share};

/// The shares of the moment, and the knots that they follow once they are there. The fade stands still while they do.
#[derive(Clone, Debug)]
pub(super) struct Colour<'t, const N: usize> {
    shares: Fade<N>,
    knots: Option<KnotsRef<'t, N>>,
}

impl<'t, const N: usize> Colour<'t, N> {
    /// No shares.
    pub(super) const fn none() -> Self {
        Self {
            shares: Fade::at([0; N]),
            knots: None,
        }
    }

    /// Straight to a recipe, and stays there.
    pub(super) fn fade_to(&mut self, recipe: &Recipe<N>, pace: Pace) {
        self.knots = None;
        self.shares
            .start(&recipe.shares().map(Share::to_bits), pace);
    }

    /// Straight to what knots give at the Level of arrival, and follows them from there; one that follows them already
    /// goes on.
    pub(super) fn fade_along(&mut self, knots: KnotsRef<'t, N>, arrival: Level, pace: Pace) {
        let follows = self.knots == Some(knots) && self.shares.remaining() == 0;
        if !follows {
            self.fade_to(&knots.recipe(arrival), pace);
            self.knots = Some(knots);
        }
    }

    /// One control step, to the Level of the moment.
    #[inline(always)]
    pub(super) fn step(&mut self, level: Level) {
        self.shares.step();
        if let Some(knots) = self.knots {
            self.follow(knots, level);
        }
    }

    /// Out of line: luminaires of plain recipes pay a comparison.
    #[inline(never)]
    fn follow(&mut self, knots: KnotsRef<'t, N>, level: Level) {
        if self.shares.remaining() == 0 {
            let shares = knots.recipe(level).shares().map(Share::to_bits);
            self.shares.start(&shares, Pace::AT_ONCE);
        }
    }

    /// The shares of the moment.
    #[inline(always)]
    pub(super) fn shares(&self) -> [Share; N] {
        self.shares.values().map(Share::from_bits)
    }

    /// The same one by one, in units of 2^-32.
    pub(super) fn iter(&self) -> impl Iterator<Item = u32> {
        self.shares.iter()
    }

    pub(super) const fn pause(&mut self) {
        self.shares.pause();
    }

    pub(super) const fn resume(&mut self) {
        self.shares.resume();
    }
}
