//! The recipes of a description as the core takes them.

use milliglow::{Knots, Level, Path, Recipe, Share};

use super::asked::core_shares;
use super::script::{control_steps, leg_ends};
use crate::description::{Description, Fade, Recipe as Described};

/// Knots that the core takes at most, and recipes of a path that a description has at most.
const MOST_KNOTS: usize = 16;

/// What a luminaire of a description borrows for its colours.
pub(super) struct Colours<const N: usize> {
    /// One a recipe.
    pub(super) recipes: Vec<Colour<N>>,
    /// One a fade of the script; none for a fade that goes straight.
    pub(super) paths: Vec<Option<Path<N, MOST_KNOTS>>>,
}

/// A recipe, the same at every Level or through knots.
pub(super) enum Colour<const N: usize> {
    Plain(Recipe<N>),
    Knots(Box<Knots<N, MOST_KNOTS>>),
}

/// All of them.
pub(super) fn colours<const N: usize>(description: &Description) -> Colours<N> {
    let script = description.script.iter();
    Colours {
        recipes: description.recipes.iter().map(colour).collect(),
        paths: script.map(|fade| path(description, fade)).collect(),
    }
}

fn path<const N: usize>(description: &Description, fade: &Fade) -> Option<Path<N, MOST_KNOTS>> {
    if fade.through.is_empty() {
        return None;
    }
    let legs = legs(description, fade).into_iter();
    let legs: Vec<_> = legs
        .map(|(shares, steps)| (core_recipe(&shares), steps))
        .collect();
    Some(Path::new(&legs).expect("validated legs"))
}

/// The recipes of a fade through some, the last included, each with the control steps of the way to it.
pub(crate) fn legs(description: &Description, fade: &Fade) -> Vec<(Vec<Share>, u32)> {
    let ends = leg_ends(control_steps(description, fade), fade.through.len() + 1);
    let begins = [0].iter().chain(&ends);
    let steps = ends.iter().zip(begins).map(|(end, begin)| end - begin);
    let last = &description.recipes[fade.recipe].shares;
    let recipes = fade.through.iter().chain([last]);
    recipes
        .map(|shares| core_shares(shares))
        .zip(steps)
        .collect()
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
