//! Junctions and fluxes in f64, independent of the core's arithmetic.

use crate::description::{Channel, Description};

/// The junctions of all channels on one board.
///
/// A junction's temperature over the board's moves exponentially to thermal resistance x electrical power, the power being
/// proportional to the light that the channel is driven to. Between knots the flux lies on a straight line.
#[derive(Clone, Debug)]
pub struct Physics<'d> {
    channels: &'d [Channel],
    board: f64,
    /// Above the board, in K.
    rises: Vec<f64>,
}

impl<'d> Physics<'d> {
    /// As warm as the board.
    #[must_use]
    pub fn new(description: &'d Description) -> Self {
        Self {
            channels: &description.channels,
            board: description.board.celsius,
            rises: vec![0.0; description.channels.len()],
        }
    }

    /// All junctions as warm as these drives, fractions of full, make them when they last.
    pub fn settle(&mut self, drives: &[f64]) {
        self.step(drives, f64::INFINITY);
    }

    /// So many seconds at these drives.
    pub fn step(&mut self, drives: &[f64], seconds: f64) {
        let ways = self.rises.iter_mut().zip(self.channels);
        for ((rise, channel), drive) in ways.zip(drives) {
            let part = -(-seconds / channel.flux_model.time_constant_s).exp_m1();
            *rise += (full_rise(channel) * drive - *rise) * part;
        }
    }

    /// The temperature of each junction in °C.
    #[must_use]
    pub fn junctions(&self) -> Vec<f64> {
        self.rises.iter().map(|rise| self.board + rise).collect()
    }

    /// The flux of each channel over the nominal one at the same drive.
    #[must_use]
    pub fn fluxes(&self) -> Vec<f64> {
        let channels = self.channels.iter().zip(self.junctions());
        channels
            .map(|(channel, junction)| {
                let model = &channel.flux_model;
                model.bin_factor * on_line(&model.knots, junction)
            })
            .collect()
    }
}

/// By how much full drive warms a junction, in K.
fn full_rise(channel: &Channel) -> f64 {
    channel.power_w.unwrap_or(0.0) * channel.flux_model.thermal_k_per_w.unwrap_or(0.0)
}

/// The ends hold beyond the knots; 1 without any.
fn on_line(knots: &[(f64, f64)], at: f64) -> f64 {
    let above = knots.partition_point(|&(celsius, _)| celsius <= at);
    match (above.checked_sub(1).map(|k| knots[k]), knots.get(above)) {
        (Some((from, flux)), Some(&(to, end))) => flux + (end - flux) * (at - from) / (to - from),
        (Some((_, flux)), None) => flux,
        (None, first) => first.map_or(1.0, |&(_, flux)| flux),
    }
}
