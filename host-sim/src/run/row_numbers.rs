//! The rows of a channel's operating table, in the whole numbers that the core is built from.

use fixed::types::U12F20;
use milliglow::density::{Modulation, Stretch};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting};
use milliglow::{Error, Light};

use super::driven::Driven;
use super::tables::modulation;
use crate::description::{Channel, Description, OperatingRow, light};

/// What a row of the core is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowNumbers {
    /// Light of the channel from which on it is in force.
    pub from_light: Light,
    /// Number of the set point, 0 for the one of the highest current.
    pub range: u8,
    /// Full light of the channel over that of the set point.
    pub ratio: RangeRatio,
    /// Ticks a decision.
    pub stretch: Stretch,
    /// Light that a pulse's edges take, in units of [`Self::EDGE_UNITS`] a tick; 0 where nothing is to be given back.
    pub edge_loss: i32,
}

impl RowNumbers {
    /// Units of an edge loss in a tick.
    pub const EDGE_UNITS: u32 = 1 << 26;

    /// The core's row for a channel of this modulation.
    pub(super) fn row(&self, modulation: Modulation) -> Result<Row, Error> {
        let edges = EdgeLoss::from_ratio(self.edge_loss, Self::EDGE_UNITS)?;
        let setting = RowSetting {
            from_light: self.from_light,
            range: self.range,
            ratio: self.ratio,
            stretch: self.stretch,
            edges,
        };
        Row::new(&setting, modulation)
    }
}

/// The rows of a channel, the lowest first.
#[must_use]
pub fn row_numbers(description: &Description, channel: &Channel) -> Vec<RowNumbers> {
    let modulation = modulation(channel.modulation);
    let driven = Driven::new(description, channel);
    let losses = driven.rows.iter().map(|row| row.edge_loss);
    let mut reached = Light::FULL;
    let rows = channel.rows.iter().zip(ranges(&channel.rows)).zip(losses);
    rows.map(|((row, range), loss)| {
        let mut numbers = RowNumbers {
            // Rounding must not lift it above what the row before reaches.
            from_light: light(row.from_light).min(reached),
            range,
            ratio: RangeRatio::from_fixed(U12F20::from_num(row.range_ratio))
                .expect("a validated ratio"),
            stretch: Stretch::from_ticks(row.stretch.into()).expect("a validated stretch"),
            edge_loss: 0,
        };
        reached = numbers.row(modulation).expect("a validated row").full();
        // Edges that take a whole pulse cannot be given back: that the driver does not follow is judged.
        let corrected = RowNumbers {
            edge_loss: (loss * f64::from(RowNumbers::EDGE_UNITS)).round() as i32,
            ..numbers
        };
        if description.operating.edge_correction && corrected.row(modulation).is_ok() {
            numbers = corrected;
        }
        numbers
    })
    .collect()
}

/// Each ratio is a set point; they are numbered from the highest current on.
fn ranges(rows: &[OperatingRow]) -> Vec<u8> {
    let mut ratios: Vec<_> = rows.iter().map(|row| row.range_ratio).collect();
    ratios.sort_by(f64::total_cmp);
    ratios.dedup();
    let number = |row: &OperatingRow| ratios.iter().position(|ratio| *ratio == row.range_ratio);
    rows.iter()
        .map(|row| number(row).unwrap_or(0) as u8)
        .collect()
}
