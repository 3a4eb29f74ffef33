//! What warmth left behind for verdicts and plots.

use crate::thermal::WarmState;

/// Since when a light is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WarmedWhen {
    /// For so long that nothing warms any further.
    Settled,
    /// For a second, after full light for as long.
    AfterFull,
}

/// A recipe at a light in the warm luminaire.
#[derive(Clone, Debug, PartialEq)]
pub struct Warmed {
    /// Fraction of full.
    pub light: f64,
    /// Since when.
    pub when: WarmedWhen,
    /// With shares as the recipe has them.
    pub plain: WarmState,
    /// With the core's flux correction.
    pub corrected: WarmState,
}

impl Warmed {
    /// What the luminaire gives that runs the correction, or does not.
    #[must_use]
    pub const fn given(&self, is_corrected: bool) -> &WarmState {
        if is_corrected {
            &self.corrected
        } else {
            &self.plain
        }
    }
}

/// A recipe over light, brightest first, and last after the jump.
#[derive(Clone, Debug, PartialEq)]
pub struct WarmedRecipe {
    /// Index of the recipe.
    pub recipe: usize,
    /// Its rows.
    pub rows: Vec<Warmed>,
}

/// Electrical power through a fade in W: first with shares as the recipes have them, then with the core's flux correction, its
/// cap included.
#[derive(Clone, Debug, PartialEq)]
pub struct FadePower {
    /// The highest.
    pub peak_w: [f64; 2],
    /// The highest of equal spans of the fade, at most 200, each with the seconds from the begin of the script to its end.
    pub rows: Vec<(f64, [f64; 2])>,
}
