//! An operating table of an ideal driver whose decisions last as long as pulses still come often enough.

use milliglow::density::{Modulation, Stretch};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Table};
use milliglow::{Error, Light, constant};

/// Decisions as long as pulses still come at 3 kHz with a tick of 3 MHz, by light in units of 0.01 %.
const STRETCHES: [(u32, Stretch); 5] = [
    (0, Stretch::One),
    (20, Stretch::Two),
    (40, Stretch::Four),
    (80, Stretch::Eight),
    (160, Stretch::Sixteen),
];

const fn row((from, stretch): (u32, Stretch)) -> Result<Row, Error> {
    let from_light = match Light::from_ratio_nearest(from, 10_000) {
        Ok(light) => light,
        Err(error) => return Err(error),
    };
    let setting = RowSetting {
        from_light,
        range: 0,
        ratio: RangeRatio::ONE,
        stretch,
        edges: EdgeLoss::NONE,
    };
    Row::new(&setting, Modulation::FirstOrder)
}

const fn table() -> Result<Table, Error> {
    let mut rows = [Row::PLAIN; STRETCHES.len()];
    let mut k = 0;
    while k < rows.len() {
        rows[k] = match row(STRETCHES[k]) {
            Ok(row) => row,
            Err(error) => return Err(error),
        };
        k += 1;
    }
    Table::new(&rows, 4)
}

/// For first order.
pub static STRETCHED: Table = constant!(table());
