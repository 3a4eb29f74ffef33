//! How the drivers work at the test lights: edges, pulses, currents, supply. Information, no verdict.

mod edge_errors;
mod supply;
mod zoom;

use milliglow::Level;
use rayon::prelude::*;

use crate::description::Description;
use crate::run::{
    Driving, DrivingChannel, EdgeError, HeldChannel, Hold, LightErrors, Stand, runs_of_ones, steady,
};
use edge_errors::EdgeErrors;

/// Every hold.
pub(super) fn observe(description: &Description, holds: &[Hold]) -> Vec<Driving> {
    let holds = holds.par_iter();
    holds.map(|hold| of_hold(description, hold)).collect()
}

/// Light against the light asked for, over the whole range; nothing where edges take nothing.
pub(super) fn light_errors(description: &Description) -> Vec<LightErrors> {
    edge_errors::over_light(description)
}

fn of_hold(description: &Description, hold: &Hold) -> Driving {
    let level = Level::from_bits(hold.level);
    let stands = steady(description, hold.recipe, level).stands();
    let errors = EdgeErrors::new(description, hold.recipe).at(level);
    let channels = hold.channels.iter().zip(&stands).zip(errors).enumerate();
    let (spread, together) = supply::currents(description, hold.recipe, level);
    Driving {
        recipe: hold.recipe,
        light: hold.light,
        channels: channels
            .map(|(channel, ((held, stand), error))| {
                of_channel(description, hold, channel, held, stand, error)
            })
            .collect(),
        spread,
        together,
    }
}

fn of_channel(
    description: &Description,
    hold: &Hold,
    channel: usize,
    held: &HeldChannel,
    stand: &Stand,
    error: Option<EdgeError>,
) -> DrivingChannel {
    let tick_hz = f64::from(description.tick_hz);
    DrivingChannel {
        row: stand.row,
        edges_hz: 2.0 * held.pulses as f64 / hold.ticks as f64 * tick_hz,
        shortest_pulse_s: shortest_pulse(held, hold.ticks).map(|ticks| ticks / tick_hz),
        error,
        zoom: zoom::of(description, channel, held),
    }
}

/// In ticks: of the runs that the first words hold whole, or one decision where those are too rare.
fn shortest_pulse(held: &HeldChannel, ticks: u64) -> Option<f64> {
    if held.ones == 0 || held.ones == ticks {
        return None;
    }
    let runs = runs_of_ones(&held.first_words);
    let whole = 32 * held.first_words.len();
    let lengths = runs
        .iter()
        .filter(|run| run.end < whole)
        .map(|run| run.len());
    Some(lengths.min().unwrap_or(held.stretch.into()) as f64)
}
