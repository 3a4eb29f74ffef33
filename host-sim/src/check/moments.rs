//! The script thinned to a number of moments that a plot can hold.

use super::colour::{channels, channels_at};
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::chromaticity;
use crate::run::{Driven, Moment, Step};

/// Moments kept at the most.
const MOMENTS: u64 = 2_000;

/// Collects moments; each holds the mean flux since the one before.
pub(super) struct Moments<'a> {
    description: &'a Description,
    channels: Vec<(Xy, f64)>,
    driven: Vec<Driven>,
    every: u64,
    flux_ticks: f64,
    ticks: f64,
    asked: f64,
    steps: f64,
    pub(super) kept: Vec<Moment>,
}

impl<'a> Moments<'a> {
    pub(super) fn new(description: &'a Description, steps: u64) -> Self {
        Self {
            description,
            channels: channels(description),
            driven: Driven::all(description),
            every: steps.div_ceil(MOMENTS).max(1),
            flux_ticks: 0.0,
            ticks: 0.0,
            asked: 0.0,
            steps: 0.0,
            kept: Vec::new(),
        }
    }

    /// Takes a control step and the flux that an ideal luminaire would give after it.
    pub(super) fn see(&mut self, step: &Step, asked_flux: f64) {
        let fluxes = self.channels.iter().map(|(_, flux)| flux);
        self.flux_ticks += fluxes
            .zip(step.gave)
            .map(|(flux, gave)| flux * gave)
            .sum::<f64>();
        self.ticks += f64::from(step.ticks);
        self.asked += asked_flux;
        self.steps += 1.0;
        if step.overall.is_multiple_of(self.every) {
            self.keep(step);
        }
    }

    fn keep(&mut self, step: &Step) {
        let channels = channels_at(&self.channels, &self.driven, step.stands);
        self.kept.push(Moment {
            time_s: step.overall as f64 / f64::from(self.description.control_hz),
            level: step.level.to_bits(),
            flux_lm: self.flux_ticks / self.ticks,
            asked_flux_lm: self.asked / self.steps,
            densities: step
                .stands
                .iter()
                .map(|stand| stand.density.as_f64())
                .collect(),
            uv: chromaticity(&channels, step.lights).map(|uv| (uv.u, uv.v)),
        });
        (self.flux_ticks, self.ticks, self.asked, self.steps) = (0.0, 0.0, 0.0, 0.0);
    }
}
