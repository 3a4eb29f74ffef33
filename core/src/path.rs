//! A fade through recipes on the way, so that colours pass where the straight line does not.

use crate::fade::{Fade, Pace};
use crate::{Error, Recipe};

/// Up to K recipes, each reached from the one before with every share on a straight line, after control steps of its own. The way to
/// the first begins wherever the luminaire is.
///
/// *Range*: 1 to K recipes, 1 to 2^32 - 1 control steps each and in all. *Error*: as [`Fade`]: exact to its rounding in every control
/// step, every recipe is met exactly and on its control step. *Cost*: two divisions of set-up a recipe, here; a control step that meets
/// a recipe copies the next leg and computes nothing. *Size*: 16 bytes and 16 a channel each recipe, which may sit in flash.
/// *Interrupts*: may be read from any.
///
/// ```
/// use milliglow::{Path, Recipe, Share, constant};
/// const HALF: Share = constant!(Share::from_ratio_nearest(1, 2));
/// /// At 1 kHz: two seconds to the recipe in between, three from there to the last.
/// static RISING: Path<2, 2> = constant!(Path::new(&[
///     (Recipe::new([HALF, HALF]), 2_000),
///     (Recipe::new([Share::NONE, Share::FULL]), 3_000),
/// ]));
/// assert_eq!(RISING.steps(), 5_000);
/// ```
#[derive(Clone, Debug)]
pub struct Path<const N: usize, const K: usize> {
    /// Each from a recipe to the next; the first stands at the first recipe, for as long as the way there takes.
    legs: [Fade<N>; K],
    count: usize,
    pace: Pace,
}

impl<const N: usize, const K: usize> Path<N, K> {
    /// From recipes in the order of the way, with the control steps that the way to each takes.
    ///
    /// # Errors
    /// [`Error::Path`] for none or more than K recipes, or control steps of none or of more than 2^32 - 1 in all.
    pub const fn new(recipes: &[(Recipe<N>, u32)]) -> Result<Self, Error> {
        let Some(((first, _), _)) = recipes.split_first() else {
            return Err(Error::Path);
        };
        let mut legs = [const { Fade::at([0; N]) }; K];
        let (mut before, mut total) = (first.to_bits(), 0_u32);
        let (mut rest, mut places) = (recipes, &mut legs as &mut [Fade<N>]);
        while let Some(((recipe, steps), more)) = rest.split_first() {
            let (Some((place, others)), Some(sum), 1..) =
                (places.split_first_mut(), total.checked_add(*steps), *steps)
            else {
                return Err(Error::Path);
            };
            let shares = recipe.to_bits();
            *place = Fade::between(&before, &shares, Pace::new(*steps));
            (before, total) = (shares, sum);
            (rest, places) = (more, others);
        }
        Ok(Self {
            legs,
            count: recipes.len(),
            pace: Pace::new(total),
        })
    }

    /// Control steps of the whole way.
    pub const fn steps(&self) -> u32 {
        self.pace.steps()
    }

    pub(crate) const fn pace(&self) -> Pace {
        self.pace
    }

    /// The way to the first recipe, and the legs after it.
    pub(crate) fn legs(&self) -> Option<(&Fade<N>, &[Fade<N>])> {
        self.legs.get(..self.count)?.split_first()
    }
}
