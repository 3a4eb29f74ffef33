//! `[supply]`: what the voltage behind the drivers does.

use super::Problem;
use super::key::{Key, key};
use super::table::Table;
use super::value::{Number, from_to};
use crate::optics::drivers::{Burst, Ripple, Supply, SupplyFigures};

pub(super) const NAME: &str = "supply";

const RIPPLE_PERCENT: Key<Number, f64> = key("ripple_percent", from_to(0.0, 100.0, "%"), 0.0);
const RIPPLE_HZ: Key<Number, f64> = key("ripple_hz", from_to(1.0, 10_000.0, "Hz"), 100.0);
const BURST_PERCENT: Key<Number, f64> = key("burst_percent", from_to(0.0, 100.0, "%"), 0.0);
const BURST_HZ: Key<Number, f64> = key("burst_hz", from_to(1.0, 1e6, "Hz"), 1_000.0);
const BURST_BELOW: Key<Number, f64> = key("burst_below_percent", from_to(0.0, 100.0, "%"), 5.0);

pub(super) fn read(root: &Table<'_>) -> Result<Supply, Problem> {
    let table = root.table(NAME)?.unwrap_or_else(Table::empty);
    table.only(&[
        RIPPLE_PERCENT.name,
        RIPPLE_HZ.name,
        BURST_PERCENT.name,
        BURST_HZ.name,
        BURST_BELOW.name,
    ])?;
    let ripple = Ripple {
        hz: table.take(&RIPPLE_HZ)?,
        depth: table.take(&RIPPLE_PERCENT)? / 100.0,
    };
    let burst = Burst {
        below_load: table.take(&BURST_BELOW)? / 100.0,
        hz: table.take(&BURST_HZ)?,
        depth: table.take(&BURST_PERCENT)? / 100.0,
    };
    let figures = SupplyFigures {
        ripple: Some(ripple).filter(|ripple| ripple.depth > 0.0),
        burst: Some(burst).filter(|burst| burst.depth > 0.0),
    };
    Supply::new(figures).map_err(|error| {
        let problem = Problem::new(error.to_string()).about(NAME.to_owned());
        problem.at(table.span.clone()).allowed(error.allowed())
    })
}
