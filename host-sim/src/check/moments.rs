//! The script thinned to a number of moments that a plot can hold.

use super::colour::channels;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::chromaticity;
use crate::run::{Moment, Step, ideal_light, level};

/// Moments kept at the most.
const MOMENTS: u64 = 2_000;

/// Collects moments; each holds the mean flux since the one before.
pub(super) struct Moments<'a> {
    description: &'a Description,
    channels: Vec<(Xy, f64)>,
    every: u64,
    begin: Asked,
    flux_ticks: f64,
    ticks: f64,
    asked: f64,
    steps: f64,
    pub(super) kept: Vec<Moment>,
}

/// Level and shares as an unquantised fade has them.
#[derive(Clone)]
struct Asked {
    level: f64,
    shares: Vec<f64>,
}

impl<'a> Moments<'a> {
    pub(super) fn new(description: &'a Description, steps: u64) -> Self {
        Self {
            description,
            channels: channels(description),
            every: steps.div_ceil(MOMENTS).max(1),
            begin: Asked {
                level: 0.0,
                shares: vec![0.0; description.channels.len()],
            },
            flux_ticks: 0.0,
            ticks: 0.0,
            asked: 0.0,
            steps: 0.0,
            kept: Vec::new(),
        }
    }

    pub(super) fn see(&mut self, step: &Step) {
        let fluxes = self.channels.iter().map(|(_, flux)| flux);
        self.flux_ticks += fluxes
            .zip(step.ones)
            .map(|(flux, &ones)| flux * f64::from(ones))
            .sum::<f64>();
        self.ticks += f64::from(step.ticks);
        let asked = self.asked_at(step);
        self.asked += self.flux(&asked);
        self.steps += 1.0;
        if step.overall.is_multiple_of(self.every) {
            self.keep(step);
        }
        if step.number == step.of {
            self.begin = asked;
        }
    }

    fn keep(&mut self, step: &Step) {
        self.kept.push(Moment {
            time_s: step.overall as f64 / f64::from(self.description.control_hz),
            level: step.level.to_bits(),
            flux_lm: self.flux_ticks / self.ticks,
            asked_flux_lm: self.asked / self.steps,
            densities: step
                .densities
                .iter()
                .map(|density| density.as_f64())
                .collect(),
            uv: chromaticity(&self.channels, step.densities).map(|uv| (uv.u, uv.v)),
        });
        (self.flux_ticks, self.ticks, self.asked, self.steps) = (0.0, 0.0, 0.0, 0.0);
    }

    /// Straight on from where the fade began; from black the shares are there at once.
    fn asked_at(&self, step: &Step) -> Asked {
        let fade = &self.description.script[step.fade];
        let way = f64::from(step.number) / f64::from(step.of);
        let between = |from: f64, to: f64| from + (to - from) * way;
        let target = f64::from(level(self.description, fade.level).to_bits());
        let shares = &self.description.recipes[fade.recipe].shares;
        let from = if self.begin.level == 0.0 {
            shares
        } else {
            &self.begin.shares
        };
        Asked {
            level: between(self.begin.level, target),
            shares: from
                .iter()
                .zip(shares)
                .map(|(&from, &to)| between(from, to))
                .collect(),
        }
    }

    fn flux(&self, asked: &Asked) -> f64 {
        let light = ideal_light(self.description.curve, asked.level);
        self.channels
            .iter()
            .zip(&asked.shares)
            .map(|((_, flux), share)| flux * share * light)
            .sum()
    }
}
