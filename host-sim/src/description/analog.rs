//! `[analog]`: plain dimming by the set point, which `check --compare` lays beside the modulations.

use super::key::{Key, key};
use super::table::Table;
use super::value::{Number, from_to};
use super::{Analog, Problem};

pub(super) const NAME: &str = "analog";

const OFFSET: Key<Number, f64> = key("offset_percent", from_to(0.0, 10.0, "%"), 0.1);
const GAIN: Key<Number, f64> = key("gain_percent", from_to(0.0, 50.0, "%"), 1.0);
const SENSE: Key<Number, f64> = key("sense_percent", from_to(0.0, 50.0, "%"), 1.0);
const X: Key<Number, f64> = key("x_a_decade", from_to(-0.1, 0.1, ""), 0.002);
const Y: Key<Number, f64> = key("y_a_decade", from_to(-0.1, 0.1, ""), -0.002);

const KEYS: [&str; 5] = [OFFSET.name, GAIN.name, SENSE.name, X.name, Y.name];

pub(super) fn read(root: &Table<'_>) -> Result<Analog, Problem> {
    read_table(&root.table(NAME)?.unwrap_or_else(Table::empty))
}

fn read_table(table: &Table<'_>) -> Result<Analog, Problem> {
    table.only(&KEYS)?;
    Ok(Analog {
        offset: table.take(&OFFSET)? / 100.0,
        gain: table.take(&GAIN)? / 100.0,
        sense: table.take(&SENSE)? / 100.0,
        x_a_decade: table.take(&X)?,
        y_a_decade: table.take(&Y)?,
    })
}

impl Default for Analog {
    fn default() -> Self {
        read_table(&Table::empty()).expect("every key has a default")
    }
}
