//! How places are called in verdicts.

use crate::description::Description;
use crate::numbers::percent;

/// A recipe at a light: `evening, 0.1 %`.
pub(super) fn place(description: &Description, recipe: usize, light: f64) -> String {
    format!("{}, {}", description.recipes[recipe].name, percent(light))
}
