//! Shows solved recipes: terminal, JSON, TOML to paste, and a picture of the gamut.

mod json;
mod toml_text;
mod words;

pub use json::json;
pub use toml_text::toml_text;
pub use words::words;

use crate::colour::White;
use crate::colour::solver::{Primaries, Solved};

/// Recipes that were solved for one luminaire.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipes {
    /// Name of the luminaire's file, or `built in`.
    pub origin: String,
    /// The channels.
    pub primaries: Primaries,
    /// The recipes, in the order asked for.
    pub rows: Vec<Row>,
    /// What the recipes are for.
    pub kind: Kind,
}

/// What recipes are for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// One colour.
    One,
    /// A table over a range of CCTs.
    Sweep,
    /// A way from the first to the last: of dim to warm against Level, or of a fade against time.
    Way(Ways),
}

/// The whites farthest from the Planckian locus on the way; none where some of the way is no white.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ways {
    /// Straight in channel light from the first recipe to the last.
    pub straight: Option<White>,
    /// Along all the recipes.
    pub along: Option<White>,
}

/// One recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is called in TOML and in the picture.
    pub name: String,
    /// The Level of a dim-to-warm recipe, and the light there as a fraction of full.
    pub level: Option<(u16, f64)>,
    /// The recipe.
    pub solved: Solved,
}
