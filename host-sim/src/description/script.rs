//! `[[script]]`: the fades that a run goes through, and `script_loops`: whether they start over.

use super::key::{Key, Offer, key};
use super::problem::{SHOWN, shown};
use super::recipes::{lit, shares};
use super::table::Table;
use super::value::{Flag, Number, Text, Whole, from_to, whole};
use super::{Channel, Fade, LevelChoice, Problem, Recipe};
use crate::numbers::significant;

pub(super) const NAME: &str = "script";

/// Whether the script starts over when it ends.
pub(super) const LOOPS: Key<Flag, bool> = key("script_loops", Flag, false);

const LONGEST_SECONDS: f64 = 86_400.0;
const RECIPE: Key<Text, Offer> = key("recipe", ANY_TEXT, Offer("\"full\""));
const LIGHT_PERCENT: Key<Number> = key("light_percent", from_to(0.0, 100.0, "%"), ());
const LEVEL: Key<Whole<u16>> = key("level", whole(0, 65_535, ""), ());
const SECONDS: Key<Number, Offer> =
    key("seconds", from_to(0.0, LONGEST_SECONDS, "s"), Offer("4.0"));

/// The keys that say where a fade goes, one of them.
pub(super) const LEVEL_KEYS: [&str; 2] = [LIGHT_PERCENT.name, LEVEL.name];

/// Recipes on the way: with the last one as many as the core takes.
const THROUGH: &str = "through";
const MOST_THROUGH: usize = 15;

pub(super) const ANY_TEXT: Text = Text {
    longest: usize::MAX,
    fits: |_| true,
    allowed: "the name of a recipe",
};

/// What the fades of a script are read beside.
pub(super) struct Beside<'a> {
    pub(super) channels: &'a [Channel],
    pub(super) recipes: &'a [Recipe],
    pub(super) control_hz: u32,
}

pub(super) fn read(root: &Table<'_>, beside: &Beside<'_>) -> Result<Vec<Fade>, Problem> {
    let tables = root.tables(NAME, 0..=1_000)?.unwrap_or_default();
    let mut total = 0.0;
    let mut fades = Vec::with_capacity(tables.len());
    for table in &tables {
        let fade = fade(table, beside)?;
        total += fade.seconds;
        if total > LONGEST_SECONDS {
            return Err(Problem::new("the script is too long")
                .about(table.path_of(SECONDS.name))
                .at(table.span_of(&SECONDS))
                .allowed("86_400 s (24 hours) for the whole script"));
        }
        fades.push(fade);
    }
    Ok(fades)
}

/// Only a script that is there can start over.
pub(super) fn loops(root: &Table<'_>, script: &[Fade]) -> Result<bool, Problem> {
    let loops = root.take(&LOOPS)?;
    if loops && script.is_empty() {
        return Err(Problem::new("there is no script that could loop")
            .about(root.path_of(LOOPS.name))
            .at(root.span_of(&LOOPS))
            .allowed("false, or a `[[script]]` of at least one fade"));
    }
    Ok(loops)
}

fn fade(table: &Table<'_>, beside: &Beside<'_>) -> Result<Fade, Problem> {
    table.only(&[
        RECIPE.name,
        LIGHT_PERCENT.name,
        LEVEL.name,
        SECONDS.name,
        THROUGH,
    ])?;
    let fade = Fade {
        recipe: recipe(table, beside.recipes)?,
        level: level(table)?,
        seconds: table.need(&SECONDS)?,
        through: through(table, beside.channels)?,
    };
    fit_legs(table, &fade, beside)?;
    Ok(fade)
}

fn through(table: &Table<'_>, channels: &[Channel]) -> Result<Vec<Vec<f64>>, Problem> {
    let written = table.tables(THROUGH, 1..=MOST_THROUGH)?.unwrap_or_default();
    let recipe = |written: &Table<'_>| {
        let shares = shares(written, channels, &[])?;
        lit(&shares, written, "a recipe on the way")?;
        Ok(shares)
    };
    written.iter().map(recipe).collect()
}

/// The last recipe stands, and every one has a control step of its own.
fn fit_legs(table: &Table<'_>, fade: &Fade, beside: &Beside<'_>) -> Result<(), Problem> {
    if fade.through.is_empty() {
        return Ok(());
    }
    let last = &beside.recipes[fade.recipe];
    if last.follows_level() {
        let title = format!(
            "a fade through recipes cannot end in `{}`, which goes through knots",
            shown(&last.name, SHOWN)
        );
        return Err(Problem::new(title)
            .about(table.path_of(RECIPE.name))
            .at(table.span_of(&RECIPE))
            .allowed("a recipe that is the same at every Level"));
    }
    let legs = fade.through.len() + 1;
    let least = legs as f64 / f64::from(beside.control_hz);
    if fade.seconds < least {
        let title = format!("{legs} recipes cannot be met in this time");
        return Err(Problem::new(title)
            .about(table.path_of(SECONDS.name))
            .at(table.span_of(&SECONDS))
            .allowed(format!(
                "{} s or more, a control step for each",
                significant(least, 4)
            )));
    }
    Ok(())
}

fn recipe(table: &Table<'_>, recipes: &[Recipe]) -> Result<usize, Problem> {
    named_recipe(table, &RECIPE, &table.need(&RECIPE)?, recipes)
}

/// The index of the recipe that a key names.
pub(super) fn named_recipe<M>(
    table: &Table<'_>,
    key: &Key<Text, M>,
    name: &str,
    recipes: &[Recipe],
) -> Result<usize, Problem> {
    let found = recipes.iter().position(|recipe| recipe.name == name);
    found.ok_or_else(|| {
        let names: Vec<&str> = recipes.iter().map(|recipe| recipe.name.as_str()).collect();
        Problem::new(format!("unknown recipe `{}`", shown(name, SHOWN)))
            .about(table.path_of(key.name))
            .at(table.span_of(key))
            .one_of(name, &names)
    })
}

/// A fade goes to a light or to a Level; a knot stands at one.
pub(super) fn level(table: &Table<'_>) -> Result<LevelChoice, Problem> {
    match (table.find(&LEVEL)?, table.find(&LIGHT_PERCENT)?) {
        (Some(_), Some(_)) => Err(
            Problem::new("`level` and `light_percent` exclude each other")
                .about(table.path_of(LEVEL.name))
                .at(table.span_of(&LEVEL))
                .allowed("one of `light_percent` and `level`"),
        ),
        (Some(level), None) => Ok(LevelChoice::Level(level)),
        (None, Some(percent)) => Ok(LevelChoice::Light(percent / 100.0)),
        (None, None) => Err(table
            .missing(LIGHT_PERCENT.name, "light_percent = 100.0")
            .allowed("`light_percent`, 0 to 100 %, or `level`, 0 to 65_535")),
    }
}
