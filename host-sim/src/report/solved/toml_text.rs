//! Solved recipes as TOML to paste into a luminaire's file.

use super::{Recipes, Row};
use crate::numbers::{percent, significant};

/// Significant digits of a share: the colour moves by less than a thousandth of an n-step.
const DIGITS: usize = 6;

/// For the table `[recipes]`, channels that are dark left out: one line a recipe, or one recipe through knots where the
/// rows stand at Levels.
#[must_use]
pub fn toml_text(recipes: &Recipes) -> String {
    let all_at_levels = recipes.rows.iter().all(|row| row.level.is_some());
    let lines = if all_at_levels {
        through_knots(recipes)
    } else {
        let lines = recipes.rows.iter().map(|row| {
            let shares = shares(recipes, row).join(", ");
            format!("{} = {{ {shares} }}{}\n", key(&row.name), mark(row))
        });
        lines.collect()
    };
    "# paste below [recipes]\n".to_owned() + &lines
}

fn through_knots(recipes: &Recipes) -> String {
    let (first, last) = (recipes.rows.first(), recipes.rows.last());
    let name = |row: Option<&Row>| row.map_or("", |row| &*row.name).to_owned();
    let knots = recipes.rows.iter().map(|row| {
        let (level, light) = row.level.unwrap_or_default();
        let keys = [format!("level = {level}")].into_iter();
        let keys: Vec<String> = keys.chain(shares(recipes, row)).collect();
        let colour = format!("{} at {} light", row.name, percent(light));
        format!(
            "    {{ {} }}, # {colour}{}\n",
            keys.join(", "),
            mark(row).replace(" #", ",")
        )
    });
    format!(
        "{} = {{ knots = [\n{}] }}\n",
        key(&format!("{} to {}", name(first), name(last))),
        knots.collect::<String>()
    )
}

fn key(name: &str) -> toml::Value {
    toml::Value::from(name)
}

fn shares(recipes: &Recipes, row: &Row) -> Vec<String> {
    let channels = recipes.primaries.channels().iter().zip(&row.solved.shares);
    let lit = channels.filter(|(_, share)| **share > 0.0);
    lit.map(|(channel, share)| format!("{} = {}", channel.name, number(*share)))
        .collect()
}

fn mark(row: &Row) -> &'static str {
    if row.solved.in_gamut {
        ""
    } else {
        " # not reached: the nearest colour"
    }
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
