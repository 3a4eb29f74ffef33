//! The shares of a luminaire: on their way to a recipe, through the recipes of a path, or as knots give them at the present Level.

use crate::fade::{Fade, Pace};
use crate::{KnotsRef, Level, Path, Recipe, Share};

/// The shares of the moment, and what they follow once they are there.
#[derive(Clone, Debug)]
pub(super) struct Colour<'t, const N: usize> {
    shares: Fade<N>,
    follows: Follows<'t, N>,
}

/// What shares do on arrival.
#[derive(Clone, Copy, Debug)]
enum Follows<'t, const N: usize> {
    /// They stay.
    Nothing,
    /// They go with the Level; their fade stands still.
    Knots(KnotsRef<'t, N>),
    /// They set out on the first of these.
    Legs(&'t [Fade<N>]),
}

impl<'t, const N: usize> Colour<'t, N> {
    /// No shares.
    pub(super) const fn none() -> Self {
        Self {
            shares: Fade::at([0; N]),
            follows: Follows::Nothing,
        }
    }

    /// Straight to a recipe, and stays there.
    pub(super) fn fade_to(&mut self, recipe: &Recipe<N>, pace: Pace) {
        self.follows = Follows::Nothing;
        self.shares.start(&recipe.to_bits(), pace);
    }

    /// Straight to what knots give at the Level of arrival, and follows them from there; one that follows them already
    /// goes on.
    pub(super) fn fade_along(&mut self, knots: KnotsRef<'t, N>, arrival: Level, pace: Pace) {
        let is_there = self.shares.remaining() == 0;
        match self.follows {
            Follows::Knots(now) if is_there && now == knots => {}
            _ => {
                self.fade_to(&knots.recipe(arrival), pace);
                self.follows = Follows::Knots(knots);
            }
        }
    }

    /// Straight from recipe to recipe of a path; out of the dark it begins at the first.
    pub(super) fn fade_through<const K: usize>(&mut self, path: &'t Path<N, K>, is_dark: bool) {
        if let Some((first, legs)) = path.legs() {
            if is_dark {
                self.shares = first.clone();
            } else {
                self.shares.start(&first.values(), first.pace());
            }
            self.follows = Follows::Legs(legs);
        }
    }

    /// One control step, to the Level of the moment.
    #[inline(always)]
    pub(super) fn step(&mut self, level: Level) {
        self.shares.step();
        if !matches!(self.follows, Follows::Nothing) {
            self.follow(level);
        }
    }

    /// Out of line: luminaires of plain recipes pay a comparison.
    #[inline(never)]
    fn follow(&mut self, level: Level) {
        if self.shares.remaining() > 0 {
            return;
        }
        match self.follows {
            Follows::Knots(knots) => {
                let shares = knots.recipe(level).to_bits();
                self.shares.start(&shares, Pace::AT_ONCE);
            }
            Follows::Legs([next, rest @ ..]) => {
                self.shares = next.clone();
                self.follows = Follows::Legs(rest);
            }
            Follows::Legs([]) | Follows::Nothing => self.follows = Follows::Nothing,
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
