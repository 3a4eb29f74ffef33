//! The script as an ideal luminaire would run it: unquantised in time, Level and share.

use crate::description::Description;
use crate::run::{ideal_light, level};

/// Where the ideal luminaire is when a fade begins.
pub(super) struct AskedFade<'a> {
    description: &'a Description,
    level: f64,
    shares: Vec<f64>,
}

impl<'a> AskedFade<'a> {
    /// In the dark.
    pub(super) fn new(description: &'a Description) -> Self {
        Self {
            description,
            level: 0.0,
            shares: vec![0.0; description.channels.len()],
        }
    }

    /// Flux in lm a part of the way, 0 to 1, along a fade of the script.
    pub(super) fn flux(&self, fade: usize, way: f64) -> f64 {
        let (level, shares) = self.at(fade, way);
        let light = ideal_light(self.description.curve, level);
        let fluxes = self
            .description
            .channels
            .iter()
            .map(|channel| channel.flux_lm);
        fluxes
            .zip(shares)
            .map(|(flux, share)| flux * share * light)
            .sum()
    }

    /// The next fade begins where this one ended.
    pub(super) fn arrive(&mut self, fade: usize) {
        (self.level, self.shares) = self.at(fade, 1.0);
    }

    /// Straight on from where the fade began; from black the shares are there at once.
    fn at(&self, fade: usize, way: f64) -> (f64, Vec<f64>) {
        let fade = &self.description.script[fade];
        let between = |from: f64, to: f64| from + (to - from) * way;
        let goals = &self.description.recipes[fade.recipe].shares;
        let begins = if self.level == 0.0 {
            goals
        } else {
            &self.shares
        };
        let shares = begins
            .iter()
            .zip(goals)
            .map(|(&from, &to)| between(from, to));
        let target = f64::from(level(self.description, fade.level).to_bits());
        (between(self.level, target), shares.collect())
    }
}
