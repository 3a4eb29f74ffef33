//! `[hardware]`: what the chip and the drivers offer beyond what is described.

use super::key::{Key, key};
use super::table::Table;
use super::value::{Number, Whole, from_to, whole};
use super::{Hardware, Problem};
use crate::numbers::grouped;

pub(super) const NAME: &str = "hardware";

const TICK_HZ_MAX: Key<Whole, u32> =
    key("tick_hz_max", whole(1_000, 100_000_000, "Hz"), 100_000_000);
const RANGE_RATIO_MAX: Key<Number, f64> = key("range_ratio_max", from_to(1.0, 1_000.0, ""), 1.0);

pub(super) fn read(root: &Table<'_>, tick_hz: u32) -> Result<Hardware, Problem> {
    let table = root.table(NAME)?.unwrap_or_else(Table::empty);
    table.only(&[TICK_HZ_MAX.name, RANGE_RATIO_MAX.name])?;
    let tick_hz_max = table.take(&TICK_HZ_MAX)?;
    if tick_hz_max < tick_hz {
        let tick_hz = grouped(tick_hz.into());
        return Err(Problem::new("`tick_hz_max` is below `tick_hz`")
            .about(table.path_of(TICK_HZ_MAX.name))
            .at(table.span_of(&TICK_HZ_MAX))
            .allowed(format!("at least {tick_hz} Hz, which `tick_hz` asks for")));
    }
    Ok(Hardware {
        tick_hz_max,
        range_ratio_max: table.take(&RANGE_RATIO_MAX)?,
    })
}
