//! A recipe in the warm luminaire, with or without the core's flux correction.

use milliglow::flux_correction::Estimator;
use milliglow::{Light, Recipe, Share};

use super::correction::{MOST_CHANNELS, board_sensor};
use super::physics::Physics;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::chromaticity;
use crate::run::{core_shares, light as core_light};

/// Seconds from step to step of the core's estimator.
pub const PERIOD_S: f64 = 0.1;

/// Rounds in which drives and temperatures find each other: a correction that lifts a share warms its channel.
const ROUNDS: usize = 50;

/// What the luminaire gives at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct WarmState {
    /// Distance from the colour that the recipe asks for, delta u'v'.
    pub shift: f64,
    /// Temperature of each junction in °C.
    pub junctions: Vec<f64>,
    /// Flux in lm.
    pub flux_lm: f64,
    /// Electrical power in W.
    pub power_w: f64,
}

/// A recipe that is lit, its junctions, and the estimator that follows them.
pub struct Warm<'d, 'c> {
    description: &'d Description,
    channels: Vec<(Xy, f64)>,
    /// The same as they are at the set points in force.
    given: Vec<(Xy, f64)>,
    shares: Vec<f64>,
    physics: Physics<'d>,
    estimator: Option<Estimator<'c, MOST_CHANNELS>>,
}

impl<'d, 'c> Warm<'d, 'c> {
    /// Chromaticity and flux at full of each channel, and its share, on a luminaire as warm as its board; without an estimator they stay as they are.
    #[must_use]
    pub fn new(
        description: &'d Description,
        channels: Vec<(Xy, f64)>,
        shares: &[f64],
        estimator: Option<Estimator<'c, MOST_CHANNELS>>,
    ) -> Self {
        Self {
            description,
            given: channels.clone(),
            channels,
            shares: shares.to_vec(),
            physics: Physics::new(description),
            estimator,
        }
    }

    /// Other shares from now on.
    pub fn set_shares(&mut self, shares: &[f64]) {
        self.shares.clear();
        self.shares.extend_from_slice(shares);
    }

    /// Other chromaticities from now on, those of the set points in force; the recipe asks for a colour by those at full current.
    pub fn set_given(&mut self, given: Vec<(Xy, f64)>) {
        self.given = given;
    }

    /// A light, a fraction of full, that lasts until nothing warms any further.
    pub fn settle(&mut self, light: f64) {
        for _ in 0..ROUNDS {
            let lights = self.lights(light);
            self.physics.settle(&lights.map(Light::as_f64));
            if let Some(estimator) = &mut self.estimator {
                estimator.settle(Some(board_sensor(self.description)), &lights);
            }
        }
    }

    /// One period at a light.
    pub fn step(&mut self, light: f64) {
        let lights = self.lights(light);
        self.physics.step(&lights.map(Light::as_f64), PERIOD_S);
        if let Some(estimator) = &mut self.estimator {
            estimator.step(Some(board_sensor(self.description)), &lights);
        }
    }

    /// What it gives at a light just now.
    #[must_use]
    pub fn state(&self, light: f64) -> WarmState {
        let drives = self.lights(light).map(Light::as_f64);
        let gives: Vec<f64> = self
            .physics
            .fluxes()
            .iter()
            .zip(drives)
            .map(|(flux, drive)| flux * drive)
            .collect();
        let fluxes = self.channels.iter().zip(&gives);
        let asked = chromaticity(&self.channels, &self.shares);
        let shift = chromaticity(&self.given, &gives).zip(asked);
        WarmState {
            // In the dark there is no colour that could be wrong.
            shift: shift.map_or(0.0, |(given, asked)| given.distance(asked)),
            junctions: self.physics.junctions(),
            flux_lm: fluxes.map(|((_, flux), gives)| flux * gives).sum(),
            power_w: self.power(light),
        }
    }

    /// The electrical power at a light in W.
    #[must_use]
    pub fn power(&self, light: f64) -> f64 {
        let channels = self.description.channels.iter().zip(self.lights(light));
        channels
            .map(|(channel, drive)| channel.power_w.unwrap_or(0.0) * drive.as_f64())
            .sum()
    }

    /// What each channel is driven to: the core's recipe at a light.
    fn lights(&self, light: f64) -> [Light; MOST_CHANNELS] {
        let mut shares = [Share::NONE; MOST_CHANNELS];
        for (slot, share) in shares.iter_mut().zip(core_shares(&self.shares)) {
            *slot = share;
        }
        let recipe = Recipe::new(shares);
        let given = match &self.estimator {
            Some(estimator) => estimator.correct(&recipe),
            None => recipe,
        };
        given.lights(core_light(light))
    }
}
