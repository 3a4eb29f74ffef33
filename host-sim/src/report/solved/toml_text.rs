//! Solved recipes as TOML to paste into a luminaire's file.

use super::{Kind, Recipes, Row};
use crate::numbers::{percent, significant};

/// Significant digits of a share: the colour moves by less than a thousandth of an n-step.
const DIGITS: usize = 6;

/// How long a pasted fade takes, until somebody changes it.
const FADE_SECONDS: f64 = 8.0;

/// For the table `[recipes]`, channels that are dark left out: one line a recipe, or one recipe through knots where the
/// rows stand at Levels. Of a fade its ends are recipes, and what is in between stands in a fade of the script.
#[must_use]
pub fn toml_text(recipes: &Recipes) -> String {
    let all_at_levels = recipes.rows.iter().all(|row| row.level.is_some());
    let lines = match (recipes.kind, &recipes.rows[..]) {
        _ if all_at_levels => through_knots(recipes),
        (Kind::Way(_), [first, between @ .., last]) => {
            plain(recipes, &[first, last]) + &fade(recipes, between, [first, last])
        }
        (_, rows) => plain(recipes, &rows.iter().collect::<Vec<_>>()),
    };
    "# paste below [recipes]\n".to_owned() + &lines
}

fn plain(recipes: &Recipes, rows: &[&Row]) -> String {
    let line = |row: &&Row| {
        let shares = shares(recipes, row).join(", ");
        format!("{} = {{ {shares} }}{}\n", key(&row.name), mark(row))
    };
    rows.iter().map(line).collect()
}

fn fade(recipes: &Recipes, between: &[Row], [first, last]: [&Row; 2]) -> String {
    let through = between.iter().map(|row| {
        let shares = shares(recipes, row).join(", ");
        format!("    {{ {shares} }}, # {}{}\n", row.name, more(row))
    });
    let through: String = through.collect();
    let through = match &*through {
        "" => String::new(),
        recipes => format!("through = [\n{recipes}]\n"),
    };
    format!(
        "\n# the fade, from {} at full light\n[[script]]\nrecipe = {}\nlight_percent = 100.0\nseconds = {FADE_SECONDS:?}\n{through}",
        key(&first.name),
        key(&last.name)
    )
}

fn through_knots(recipes: &Recipes) -> String {
    let (first, last) = (recipes.rows.first(), recipes.rows.last());
    let name = |row: Option<&Row>| row.map_or("", |row| &*row.name).to_owned();
    let knots = recipes.rows.iter().map(|row| {
        let (level, light) = row.level.unwrap_or_default();
        let keys = [format!("level = {level}")].into_iter();
        let keys: Vec<String> = keys.chain(shares(recipes, row)).collect();
        let colour = format!("{} at {} light", row.name, percent(light));
        format!("    {{ {} }}, # {colour}{}\n", keys.join(", "), more(row))
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

/// The same behind other words of a comment.
fn more(row: &Row) -> String {
    mark(row).replace(" #", ",")
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
