//! Solved recipes as TOML to paste into a luminaire's file.

use super::{Recipes, Row};
use crate::numbers::significant;

/// Significant digits of a share: the colour moves by less than a thousandth of an n-step.
const DIGITS: usize = 6;

/// One line a recipe, for the table `[recipes]`; channels that are dark are left out.
#[must_use]
pub fn toml_text(recipes: &Recipes) -> String {
    let lines = recipes.rows.iter().map(|row| line(recipes, row));
    "# paste below [recipes]\n".to_owned() + &lines.collect::<String>()
}

fn line(recipes: &Recipes, row: &Row) -> String {
    let channels = recipes.primaries.channels().iter().zip(&row.solved.shares);
    let lit = channels.filter(|(_, share)| **share > 0.0);
    let shares: Vec<String> = lit
        .map(|(channel, share)| format!("{} = {}", channel.name, number(*share)))
        .collect();
    let name = toml::Value::from(row.name.as_str());
    let level = row.level.map(|(level, _)| format!(" # at Level {level}"));
    let mark = if row.solved.in_gamut {
        ""
    } else {
        " # not reached: the nearest colour"
    };
    format!(
        "{name} = {{ {} }}{}{mark}\n",
        shares.join(", "),
        level.unwrap_or_default()
    )
}

/// A TOML float: it has a point or an exponent.
fn number(share: f64) -> String {
    let text = significant(share, DIGITS);
    if text.contains(['.', 'e']) {
        text
    } else {
        text + ".0"
    }
}
