//! A recipe as a function of Level, so that a luminaire warms as it dims.

use crate::recipe::{Recipe, Share};
use crate::{Error, Level, fraction};

/// Knots at most.
const MOST: usize = 16;

/// A recipe at a Level, and one over the Levels to the next knot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Knot<const N: usize> {
    level: Level,
    /// 2^32 / Levels to the next knot, rounded to nearest.
    reciprocal: u32,
    recipe: Recipe<N>,
}

/// K recipes at K Levels, straight lines between: at any one light the channel lights of the recipes between two knots
/// lie on a straight line, and so does their chromaticity. Below the first knot its recipe holds, above the last the last.
///
/// *Range*: 1 to 16 knots. *Error*: exact at the knots; between them a share is within 2^-17 of the difference of the two
/// knots' shares, plus 2 units of 2^-32, of the straight line, and never outside the two. *Cost*: a comparison a knot,
/// then one 32-bit product, and three of 16 x 16 bits a channel; no division. *Size*: 8 bytes and 4 a channel each knot.
/// *Interrupts*: may be read from any.
///
/// ```
/// use milliglow::{Knots, Level, Recipe, Share, constant};
/// const HALF: Share = constant!(Share::from_ratio_nearest(1, 2));
/// static WARMING: Knots<2, 2> = constant!(Knots::new([
///     (Level::from_bits(4_096), Recipe::new([Share::FULL, Share::NONE])),
///     (Level::FULL, Recipe::new([HALF, Share::FULL])),
/// ]));
/// assert_eq!(WARMING.recipe(Level::OFF), Recipe::new([Share::FULL, Share::NONE]));
/// assert_eq!(WARMING.recipe(Level::FULL), Recipe::new([HALF, Share::FULL]));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Knots<const N: usize, const K: usize>([Knot<N>; K]);

impl<const N: usize, const K: usize> Knots<N, K> {
    /// From recipes at Levels, the lowest first. Divides once a knot; for set-up.
    ///
    /// # Errors
    /// [`Error::Knots`] for none, more than 16, or Levels that do not rise.
    pub const fn new(recipes: [(Level, Recipe<N>); K]) -> Result<Self, Error> {
        Self::of_first(recipes, K)
    }

    /// From the first `count` of them, the others left out: where their number is known at run time only.
    ///
    /// # Errors
    /// [`Error::Knots`] for a count of none or more than there are, more than 16, or Levels that do not rise.
    pub const fn of_first(recipes: [(Level, Recipe<N>); K], count: usize) -> Result<Self, Error> {
        if count == 0 || count > K || K > MOST {
            return Err(Error::Knots);
        }
        let mut knots = [Knot {
            level: Level::OFF,
            reciprocal: 0,
            recipe: Recipe::new([Share::NONE; N]),
        }; K];
        let (mut level, mut recipe) = (Level::OFF, Recipe::new([Share::NONE; N]));
        let mut k = 0;
        while k < K {
            // What is left out stands on the last knot, where it is not found.
            if k < count {
                (level, recipe) = recipes[k];
            }
            knots[k].level = level;
            knots[k].recipe = recipe;
            if k > 0 && k < count {
                let below = knots[k - 1].level.to_bits();
                if level.to_bits() <= below {
                    return Err(Error::Knots);
                }
                knots[k - 1].reciprocal = reciprocal(level.to_bits() - below);
            }
            k += 1;
        }
        Ok(Self(knots))
    }

    /// The recipe at a Level.
    #[must_use]
    pub fn recipe(&self, level: Level) -> Recipe<N> {
        self.borrowed().recipe(level)
    }

    /// For a luminaire to follow.
    #[must_use]
    pub const fn borrowed(&self) -> KnotsRef<'_, N> {
        KnotsRef(&self.0)
    }
}

/// [`Knots`] of any number, borrowed: two words.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct KnotsRef<'t, const N: usize>(&'t [Knot<N>]);

impl<const N: usize> KnotsRef<'_, N> {
    /// The recipe at a Level, as [`Knots::recipe`].
    #[must_use]
    pub fn recipe(self, level: Level) -> Recipe<N> {
        let mut here = None;
        for knot in self.0 {
            match here {
                Some(below) if level < knot.level => return between(below, knot, level),
                _ => here = Some(knot),
            }
        }
        here.map_or(Recipe::new([Share::NONE; N]), |last| last.recipe)
    }
}

impl<const N: usize> PartialEq for KnotsRef<'_, N> {
    /// The same knots, or equal ones elsewhere. *Cost*: a comparison a knot and channel at worst.
    fn eq(&self, other: &Self) -> bool {
        core::ptr::eq(self.0, other.0) || self.0 == other.0
    }
}

impl<const N: usize> Eq for KnotsRef<'_, N> {}

/// At most 2^32 - 1, which a span of 1 only needs to hold.
const fn reciprocal(span: u16) -> u32 {
    // Knots rise, but that is more than the compiler sees at opt-level z.
    match ((1 << 32) + (span / 2) as u64).checked_div(span as u64) {
        Some(nearest) if nearest <= u32::MAX as u64 => nearest as u32,
        _ => u32::MAX,
    }
}

fn between<const N: usize>(below: &Knot<N>, above: &Knot<N>, level: Level) -> Recipe<N> {
    let passed = level.to_bits().saturating_sub(below.level.to_bits());
    // Fewer Levels than to the next knot, so that the product stays below 2^32.
    let part = u32::from(passed).wrapping_mul(below.reciprocal);
    let mut shares = *below.recipe.shares();
    for (share, &end) in shares.iter_mut().zip(above.recipe.shares()) {
        *share = towards(*share, end, part);
    }
    Recipe::new(shares)
}

fn towards(from: Share, to: Share, part: u32) -> Share {
    let (from, to) = (from.to_bits(), to.to_bits());
    Share::from_bits(if to >= from {
        from.wrapping_add(fraction::product(to - from, part))
    } else {
        from.wrapping_sub(fraction::product(from - to, part))
    })
}
