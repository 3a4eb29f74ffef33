//! A luminaire's firmware in small: frames queue, the gear hears them before a control step, the luminaire carries them out.

use milliglow::bus::iec62386::Gear;
use milliglow::bus::{Colour, FrameQueue, Movement};
use milliglow::fade::Pace;
use milliglow::flux_correction::{Estimator, Temperature};
use milliglow::{Level, Light, Recipe, Share};

use crate::description::{Bus, Description};
use crate::run::{Driven, GearRecipes, Stepped, core_shares, luminaire};

/// A luminaire has at most 16 channels.
pub(super) const MOST_CHANNELS: usize = 16;

/// What a control step was.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stepping {
    /// A movement without time, or one that begins elsewhere, set out.
    pub(super) jumped: bool,
    /// Levels that the light may move by, beyond a jump.
    pub(super) allowed: u32,
    /// Control steps that a fade which has set out takes.
    pub(super) set_out: Option<u32>,
}

pub(super) struct Firmware<'a> {
    description: &'a Description,
    recipes: GearRecipes<'a>,
    bus: &'a Bus,
    driven: Vec<Driven>,
    pub(super) gear: Gear,
    pub(super) queue: FrameQueue<16>,
    pub(super) luminaire: Box<dyn Stepped>,
    colour: Option<Colour>,
    goal: Level,
    allowed: u32,
    estimator: Option<Estimator<'a, MOST_CHANNELS>>,
}

impl<'a> Firmware<'a> {
    pub(super) fn new(
        description: &'a Description,
        bus: &'a Bus,
        gear: Gear,
        estimator: Option<Estimator<'a, MOST_CHANNELS>>,
    ) -> Self {
        let mut made = Self {
            description,
            recipes: GearRecipes::new(description, bus),
            bus,
            driven: Driven::all(description),
            gear,
            queue: FrameQueue::new(),
            luminaire: luminaire(description),
            colour: None,
            goal: Level::OFF,
            allowed: 0,
            estimator,
        };
        made.power_on();
        made
    }

    fn power_on(&mut self) {
        if let Some(movement) = self.gear.power_on() {
            self.carry_out(&movement);
        }
    }

    /// Everything but what a gear keeps is gone.
    pub(super) fn restart(&mut self, gear: Gear) {
        self.gear = gear;
        self.queue = FrameQueue::new();
        self.luminaire = luminaire(self.description);
        self.colour = None;
        self.power_on();
    }

    /// The bus has lost its power.
    pub(super) fn bus_failed(&mut self) -> bool {
        let movement = self.gear.bus_failed();
        if let Some(movement) = &movement {
            self.carry_out(movement);
        }
        movement.is_some()
    }

    pub(super) fn control_step(&mut self) -> Stepping {
        let mut stepping = Stepping::default();
        let heard = self
            .queue
            .pop()
            .and_then(|(frame, at_ms)| self.gear.receive(frame, at_ms).movement);
        let off = self.gear.control_step();
        if let Some(movement) = off.or(heard) {
            stepping.jumped = movement.pace.steps() == 0 || movement.from.is_some();
            stepping.set_out = Some(movement.pace.steps()).filter(|&steps| steps > 0);
            self.carry_out(&movement);
        }
        stepping.allowed = self.allowed;
        self.luminaire.control_step();
        stepping
    }

    fn carry_out(&mut self, movement: &Movement) {
        self.colour = movement.colour.or(self.colour);
        if let Some(from) = movement.from {
            self.go(from, Pace::AT_ONCE);
        }
        let here = self.luminaire.level().to_bits();
        let distance = u32::from(here.abs_diff(movement.level.to_bits()));
        self.allowed = distance.div_ceil(movement.pace.steps().max(1));
        self.go(movement.level, movement.pace);
    }

    fn go(&mut self, level: Level, pace: Pace) {
        let shares = self.shares();
        self.goal = level;
        self.luminaire.fade_to(level, &shares, pace);
    }

    /// Of the colour that holds, corrected where there is an estimator.
    fn shares(&self) -> Vec<Share> {
        let coloured = self.colour.and_then(|colour| self.recipes.shares(colour));
        let plain = || core_shares(&self.description.recipes[self.bus.recipe].shares);
        let shares = coloured.unwrap_or_else(plain);
        let Some(estimator) = &self.estimator else {
            return shares;
        };
        let mut all = [Share::NONE; MOST_CHANNELS];
        all[..shares.len()].copy_from_slice(&shares);
        estimator.correct(&Recipe::new(all)).shares()[..shares.len()].to_vec()
    }

    /// A step of the estimator, after which the light goes on with its shares.
    pub(super) fn correct(&mut self, board: Option<Temperature>, period_steps: u32) {
        let mut lights = [Light::BLACK; MOST_CHANNELS];
        for (light, lumens) in lights.iter_mut().zip(self.lights()) {
            *light = crate::run::light(lumens);
        }
        if let Some(estimator) = &mut self.estimator {
            estimator.step(board, &lights);
        }
        let remaining = self.gear.remaining();
        let steps = if remaining == 0 {
            period_steps
        } else {
            remaining
        };
        self.go(self.goal, Pace::new(steps));
    }

    pub(super) fn lost_inputs(&self) -> u64 {
        let lost = self.estimator.as_ref().map(Estimator::lost_inputs);
        lost.map_or(0, u64::from)
    }

    /// The mean light of each channel over its full.
    pub(super) fn lights(&self) -> Vec<f64> {
        let stands = self.luminaire.stands();
        let booked = self.description.operating.edge_correction;
        let channels = self.driven.iter().zip(&stands);
        channels
            .map(|(driven, stand)| driven.light(stand, booked))
            .collect()
    }

    /// Flux in lm.
    pub(super) fn flux_lm(&self) -> f64 {
        let channels = self.description.channels.iter().zip(self.lights());
        channels
            .map(|(channel, light)| channel.flux_lm * light)
            .sum()
    }
}
