//! `[spread]`: how far the units of a series differ.

use super::key::{Key, key};
use super::table::Table;
use super::value::{Number, from_to};
use super::{Problem, Spread};

pub(super) const NAME: &str = "spread";

const PERCENT: Number = from_to(0.0, 50.0, "%");

const RISE: Key<Number, f64> = key("rise_percent", PERCENT, 20.0);
const FALL: Key<Number, f64> = key("fall_percent", PERCENT, 20.0);
const DELAY: Key<Number, f64> = key("delay_percent", PERCENT, 20.0);
const RANGE_RATIO: Key<Number, f64> = key("range_ratio_percent", PERCENT, 2.0);
const FLUX: Key<Number, f64> = key("flux_percent", PERCENT, 5.0);
const CHROMATICITY: Key<Number, f64> = key("chromaticity_uv", from_to(0.0, 0.1, ""), 0.002);

const KEYS: [&str; 6] = [
    RISE.name,
    FALL.name,
    DELAY.name,
    RANGE_RATIO.name,
    FLUX.name,
    CHROMATICITY.name,
];

pub(super) fn read(root: &Table<'_>) -> Result<Spread, Problem> {
    read_table(&root.table(NAME)?.unwrap_or_else(Table::empty))
}

fn read_table(table: &Table<'_>) -> Result<Spread, Problem> {
    table.only(&KEYS)?;
    Ok(Spread {
        rise: table.take(&RISE)? / 100.0,
        fall: table.take(&FALL)? / 100.0,
        delay: table.take(&DELAY)? / 100.0,
        range_ratio: table.take(&RANGE_RATIO)? / 100.0,
        flux: table.take(&FLUX)? / 100.0,
        chromaticity_uv: table.take(&CHROMATICITY)?,
    })
}

impl Default for Spread {
    fn default() -> Self {
        read_table(&Table::empty()).expect("every key has a default")
    }
}
