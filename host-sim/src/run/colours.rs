//! The recipes of a description as the core takes them.

use milliglow::{Knots, Level, Recipe, Share};

use super::asked::core_shares;
use crate::description::{Description, Recipe as Described};

/// Knots that the core takes at most.
const MOST_KNOTS: usize = 16;

/// A recipe, the same at every Level or through knots.
pub(super) enum Colour<const N: usize> {
    Plain(Recipe<N>),
    Knots(Box<Knots<N, MOST_KNOTS>>),
}

/// One a recipe.
pub(super) fn colours<const N: usize>(description: &Description) -> Vec<Colour<N>> {
    description.recipes.iter().map(colour).collect()
}

fn colour<const N: usize>(recipe: &Described) -> Colour<N> {
    let Some(last) = recipe.knots.len().checked_sub(1) else {
        return Colour::Plain(core_recipe(&core_shares(&recipe.shares)));
    };
    let knot = |k: usize| {
        let knot = &recipe.knots[k.min(last)];
        let shares = core_shares(&knot.shares);
        (Level::from_bits(knot.level), core_recipe(&shares))
    };
    let knots = Knots::of_first(std::array::from_fn(knot), last + 1);
    Colour::Knots(Box::new(knots.expect("validated knots")))
}

/// Of one share a channel.
pub(super) fn core_recipe<const N: usize>(shares: &[Share]) -> Recipe<N> {
    Recipe::new(std::array::from_fn(|k| shares[k]))
}

/// The shares that the core gives a recipe at a Level, one a channel.
pub fn core_shares_at(recipe: &Described, level: Level) -> Vec<Share> {
    let channels = 0..recipe.shares.len();
    let alone = |k: usize| {
        let [share] = *match colour(&recipe.of_channel(k)) {
            Colour::Plain(recipe) => recipe,
            Colour::Knots(knots) => knots.recipe(level),
        }
        .shares();
        share
    };
    channels.map(alone).collect()
}
