//! `[curve]`: from Level to light.

use super::key::{Key, Offer, key};
use super::table::Table;
use super::value::{Whole, Word, whole};
use super::{CurveChoice, Problem};

pub(super) const NAME: &str = "curve";

#[derive(Clone, Copy)]
enum Form {
    Exponential,
    Lightness,
    Linear,
}

const KIND: Key<Word<Form>, Offer> = key(
    "kind",
    Word(&[
        ("exponential", Form::Exponential),
        ("lightness", Form::Lightness),
        ("linear", Form::Linear),
    ]),
    Offer("\"exponential\""),
);
const DEPTH: Key<Whole, Offer> = key("depth", whole(10, 100_000, ""), Offer("1_000"));
const TAIL_LEVELS: Key<Whole<u16>, u16> = key("tail_levels", whole(0, 4_096, "Levels"), 0);

pub(super) fn read(root: &Table<'_>) -> Result<CurveChoice, Problem> {
    let table = root.table(NAME)?;
    let table = table
        .ok_or_else(|| root.missing(NAME, "[curve]\nkind = \"exponential\"\ndepth = 1_000"))?;
    table.only(&[KIND.name, DEPTH.name, TAIL_LEVELS.name])?;
    match table.need(&KIND)? {
        Form::Exponential => Ok(CurveChoice::Exponential {
            depth: table.need(&DEPTH)?,
            tail_levels: table.take(&TAIL_LEVELS)?,
        }),
        Form::Lightness => bare(&table, CurveChoice::Lightness),
        Form::Linear => bare(&table, CurveChoice::Linear),
    }
}

/// A curve of fixed shape, which takes no key beside its kind.
fn bare(table: &Table<'_>, curve: CurveChoice) -> Result<CurveChoice, Problem> {
    let extra = table
        .written()
        .into_iter()
        .find(|entry| entry.name != KIND.name);
    extra.map_or(Ok(curve), |entry| {
        Err(Problem::new(format!(
            "`{}` belongs to the exponential curve only",
            entry.name
        ))
        .about(table.path_of(entry.name))
        .at(entry.name_span)
        .allowed("no key beside `kind` for this curve"))
    })
}
