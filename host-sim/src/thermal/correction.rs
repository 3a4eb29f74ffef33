//! The core's flux correction, configured for a description.

use milliglow::flux_correction::{Channel, Configuration, Factor, FluxTable, Heating, Temperature};

use super::warm::PERIOD_S;
use crate::description::{self, Description};

/// A luminaire has at most 16 channels; those that it lacks are dark.
pub(crate) const MOST_CHANNELS: usize = 16;

/// The board's temperature as the firmware's sensor tells it.
#[must_use]
pub fn board_sensor(description: &Description) -> Temperature {
    temperature(description.board.celsius)
}

/// The correction, ten steps a second; without a sensible temperature it takes the described board's.
#[must_use]
pub fn correction(description: &Description) -> Configuration<MOST_CHANNELS> {
    let mut channels = [Channel::PLAIN; MOST_CHANNELS];
    for (slot, channel) in channels.iter_mut().zip(&description.channels) {
        *slot = core_channel(channel);
    }
    let plain = Configuration::new(channels, thousandths(PERIOD_S), board_sensor(description))
        .expect("a validated board");
    match description.board.power_cap_w {
        Some(cap) => plain
            .with_power_cap(thousandths(cap))
            .expect("a validated cap"),
        None => plain,
    }
}

fn core_channel(channel: &description::Channel) -> Channel {
    let model = &channel.flux_model;
    let heating = Heating {
        milliwatts: thousandths(channel.power_w.unwrap_or(0.0)),
        millikelvin_per_watt: thousandths(model.thermal_k_per_w.unwrap_or(0.0)),
        time_constant_ms: thousandths(model.time_constant_s),
    };
    Channel::new(table(&model.knots), factor(model.bin_factor), heating)
        .expect("a validated channel")
}

fn table(knots: &[(f64, f64)]) -> FluxTable {
    let knots: Vec<_> = knots
        .iter()
        .map(|&(celsius, flux)| (temperature(celsius), factor(flux)))
        .collect();
    if knots.is_empty() {
        return FluxTable::STEADY;
    }
    FluxTable::new(&knots).expect("validated knots")
}

fn temperature(celsius: f64) -> Temperature {
    Temperature::from_millicelsius_nearest(millicelsius(celsius)).expect("a validated temperature")
}

fn factor(factor: f64) -> Factor {
    Factor::from_ratio_nearest(millionths(factor), 1_000_000).expect("a validated factor")
}

/// Degrees as the core takes them.
pub(crate) fn millicelsius(celsius: f64) -> i32 {
    (celsius * 1_000.0).round() as i32
}

/// Factors of flux as the core takes them.
pub(crate) fn millionths(factor: f64) -> u32 {
    (factor * 1e6).round() as u32
}

/// Watts, kelvins a watt and seconds as the core takes them.
pub(crate) fn thousandths(number: f64) -> u32 {
    (number * 1_000.0).round() as u32
}
