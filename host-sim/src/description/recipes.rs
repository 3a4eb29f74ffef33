//! `[recipes]`: colours as channel shares, the same at every Level or through knots.

use super::key::read as read_value;
use super::problem::{SHOWN, shown};
use super::table::{Entry, Table, wrong_count};
use super::value::{Kind, Number, Refusal, Text, from_to};
use super::{Channel, CurveChoice, Knot, Problem, Recipe, level_of, script};
use toml::de::DeValue;

pub(super) const NAME: &str = "recipes";

const MOST: usize = 32;
const KNOTS: &str = "knots";
/// As many as the core takes; one would be a plain recipe.
const KNOT_COUNT: std::ops::RangeInclusive<usize> = 2..=16;
const SHARE: Number = from_to(0.0, 1.0, "");
const LABEL: Text = Text {
    longest: 60,
    fits: |text| !text.is_empty() && !text.contains(char::is_control),
    allowed: "a name of 1 to 60 characters, none of them a control character",
};

pub(super) fn read(
    root: &Table<'_>,
    channels: &[Channel],
    curve: CurveChoice,
) -> Result<Vec<Recipe>, Problem> {
    let example = format!("full = {{ {} = 1.0 }}", channels[0].name);
    let missing = || root.missing(NAME, &format!("[{NAME}]\n{example}"));
    let table = root.table(NAME)?.ok_or_else(missing)?;
    let entries = table.written();
    if entries.is_empty() || entries.len() > MOST {
        let first_too_many = entries.get(MOST).map(|entry| entry.name_span.clone());
        let place = first_too_many.unwrap_or(table.span);
        let allowed = format!("1 to {MOST} recipes, such as {example}");
        return Err(wrong_count(entries.len(), NAME, place, allowed));
    }
    entries
        .iter()
        .map(|entry| recipe(&table, entry, channels, curve))
        .collect()
}

fn recipe(
    recipes: &Table<'_>,
    entry: &Entry<'_>,
    channels: &[Channel],
    curve: CurveChoice,
) -> Result<Recipe, Problem> {
    let name = label(recipes, entry)?;
    let path = recipes.path_of(&name);
    let allowed = "a table of channel = share, or { knots = [...] }";
    let table = Table::open(entry.value, &name, path.clone(), allowed)?;
    if table.holds_array(KNOTS) {
        return Ok(Recipe::through(name, knots(&table, channels, curve)?));
    }
    let shares = shares(&table, channels, &[])?;
    lit(
        &shares,
        &table,
        &format!("recipe `{}`", shown(&name, SHOWN)),
    )
    .map_err(|problem| problem.at(entry.name_span.clone()))?;
    Ok(Recipe::plain(name, shares))
}

/// The lowest Level first, in whatever order they are written.
fn knots(
    recipe: &Table<'_>,
    channels: &[Channel],
    curve: CurveChoice,
) -> Result<Vec<Knot>, Problem> {
    recipe.only(&[KNOTS])?;
    let tables = recipe.tables(KNOTS, KNOT_COUNT)?.unwrap_or_default();
    let mut knots: Vec<Knot> = Vec::with_capacity(tables.len());
    for table in &tables {
        let knot = knot(table, channels, curve)?;
        if knots.iter().any(|other| other.level == knot.level) {
            let title = format!("two knots at Level {}", knot.level);
            return Err(Problem::new(title)
                .about(table.path().to_owned())
                .at(table.span.clone())
                .allowed("each knot at a Level of its own"));
        }
        knots.push(knot);
    }
    knots.sort_by_key(|knot| knot.level);
    Ok(knots)
}

fn knot(table: &Table<'_>, channels: &[Channel], curve: CurveChoice) -> Result<Knot, Problem> {
    let level = level_of(curve, script::level(table)?).to_bits();
    let shares = shares(table, channels, &script::LEVEL_KEYS)?;
    lit(&shares, table, "a knot")?;
    Ok(Knot { level, shares })
}

/// One share a channel, of the keys of a table but for some.
pub(super) fn shares(
    table: &Table<'_>,
    channels: &[Channel],
    others: &[&str],
) -> Result<Vec<f64>, Problem> {
    let mut shares = vec![0.0; channels.len()];
    let written = table.written().into_iter();
    for share in written.filter(|share| !others.contains(&share.name)) {
        let channel = channel(table, &share, channels)?;
        shares[channel] = read_value(&SHARE, share.value, share.name, table.path_of(share.name))?;
    }
    Ok(shares)
}

pub(super) fn lit(shares: &[f64], table: &Table<'_>, what: &str) -> Result<(), Problem> {
    if shares.iter().any(|share| *share > 0.0) {
        return Ok(());
    }
    Err(Problem::new(format!("{what} is dark"))
        .about(table.path().to_owned())
        .at(table.span.clone())
        .allowed("at least one share above 0"))
}

fn label(recipes: &Table<'_>, entry: &Entry<'_>) -> Result<String, Problem> {
    let name = DeValue::String(entry.name.into());
    LABEL.read(&name).map_err(|_: Refusal| {
        Problem::new("this name of a recipe is not allowed")
            .about(recipes.path_of(entry.name))
            .at(entry.name_span.clone())
            .allowed(LABEL.allowed())
    })
}

fn channel(table: &Table<'_>, share: &Entry<'_>, channels: &[Channel]) -> Result<usize, Problem> {
    let found = channels
        .iter()
        .position(|channel| channel.name == share.name);
    found.ok_or_else(|| {
        let names: Vec<&str> = channels
            .iter()
            .map(|channel| channel.name.as_str())
            .collect();
        Problem::new(format!("unknown channel `{}`", shown(share.name, SHOWN)))
            .about(table.path_of(share.name))
            .at(share.name_span.clone())
            .one_of(share.name, &names)
    })
}
