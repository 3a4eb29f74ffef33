//! The operating tables over the light of their channels.

use milliglow::operating::Row;

use super::tables::table;
use super::{RowOverLight, TableOverLight};
use crate::description::light;
use crate::description::{Channel, Description, Modulation};
use crate::metrics::first_order;

const POINTS_A_DECADE: f64 = 48.0;

/// One entry for the channels that have rows, driver and modulation in common.
#[must_use]
pub fn tables_over_light(description: &Description) -> Vec<TableOverLight> {
    let mut tables: Vec<TableOverLight> = Vec::new();
    let channels = &description.channels;
    let alike = |one: &Channel, other: &Channel| {
        one.rows == other.rows && one.driver == other.driver && one.modulation == other.modulation
    };
    for (index, channel) in channels.iter().enumerate() {
        let known = tables
            .iter_mut()
            .find(|table| alike(&channels[table.channels[0]], channel));
        match known {
            Some(table) => table.channels.push(index),
            None => tables.push(TableOverLight {
                channels: vec![index],
                rows: rows(description, channel),
            }),
        }
    }
    tables
}

fn rows(description: &Description, channel: &Channel) -> Vec<RowOverLight> {
    let table = table(description, channel);
    let kept = 1.0 - 0.5_f64.powi(description.operating.hysteresis_shift.into());
    let ends = channel.rows.iter().skip(1).map(|row| row.from_light);
    let rows = channel.rows.iter().zip(table.rows()).zip(ends.chain([1.0]));
    rows.map(|((described, row), end)| {
        let begin = (described.from_light * kept).max(lowest(description));
        RowOverLight {
            range_ratio: described.range_ratio,
            stretch: described.stretch,
            pulse_rates: pulse_rates(description, channel.modulation, row, (begin, end)),
        }
    })
    .collect()
}

/// The lowest light of any lit channel.
fn lowest(description: &Description) -> f64 {
    let shares = description.recipes.iter().flat_map(|recipe| &recipe.shares);
    let lit = shares.copied().filter(|share| *share > 0.0);
    description.requirements.lowest_light * lit.fold(1.0, f64::min)
}

/// Rates of first order; a timer has as many pulses as periods.
fn pulse_rates(
    description: &Description,
    modulation: Modulation,
    row: &Row,
    (begin, end): (f64, f64),
) -> Vec<(f64, f64)> {
    let tick_hz = f64::from(description.tick_hz);
    let count = ((end / begin).log10() * POINTS_A_DECADE).ceil().max(1.0) as i32;
    let lights = (0..=count).map(|k| begin * (end / begin).powf(f64::from(k) / f64::from(count)));
    let stretch = row.decision().stretch.ticks();
    let point = |asked: f64| {
        let pulses = first_order(row.density(light(asked)))?;
        let a_tick = match modulation {
            Modulation::Timer { bits, .. } => 0.5_f64.powi(bits.into()),
            _ => pulses.a_tick,
        };
        Some((asked, a_tick * tick_hz / f64::from(stretch)))
    };
    lights.filter_map(point).collect()
}
