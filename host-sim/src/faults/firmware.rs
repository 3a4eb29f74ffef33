//! A luminaire's firmware in small: frames queue, the gear hears them before a control step, the luminaire carries them out.

use milliglow::bus::{Colour, Movement};
use milliglow::fade::Pace;
use milliglow::flux_correction::{Estimator, Temperature};
use milliglow::{Level, Light, Recipe, Share};

use super::ear::Ear;
use crate::description::{Bus, BusKind, Description};
use crate::run::{Driven, GearRecipes, SlotMeaning, Stepped, core_shares, luminaire};

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
    /// The fade that ran has no end.
    pub(super) cut_short: bool,
}

pub(super) struct Firmware<'a> {
    description: &'a Description,
    recipes: GearRecipes<'a>,
    bus: &'a Bus,
    driven: Vec<Driven>,
    pub(super) ear: Ear<'a>,
    meaning: Option<SlotMeaning<'a>>,
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
        ear: Ear<'a>,
        estimator: Option<Estimator<'a, MOST_CHANNELS>>,
    ) -> Self {
        let mut made = Self {
            description,
            recipes: GearRecipes::new(description, bus),
            bus,
            driven: Driven::all(description),
            ear,
            meaning: match &bus.kind {
                BusKind::Dmx512(set) => Some(SlotMeaning::new(description, bus, set)),
                BusKind::Iec62386(_) => None,
            },
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
        if let Ear::Gear(gear, _) = &mut self.ear
            && let Some(movement) = gear.power_on()
        {
            self.carry_out(&movement);
        }
    }

    /// Everything but what a gear keeps is gone.
    pub(super) fn restart(&mut self, ear: Ear<'a>) {
        self.ear = ear;
        self.luminaire = luminaire(self.description);
        self.colour = None;
        self.power_on();
    }

    /// A frame or a packet, or the bus loses its power: whether the light follows that at once.
    pub(super) fn hear(&mut self, bytes: &[u8], stamp_us: u64, offset_us: u32) -> bool {
        match (&mut self.ear, bytes) {
            (Ear::Gear(_, queue), &[first, second]) => {
                let stamp_ms = ((stamp_us / 1_000) as u32).wrapping_add(offset_us / 1_000);
                queue.push(u16::from_be_bytes([first, second]), stamp_ms);
                false
            }
            (Ear::Gear(gear, _), _) => {
                let movement = gear.bus_failed();
                if let Some(movement) = &movement {
                    self.carry_out(movement);
                }
                movement.is_some()
            }
            (Ear::Slots(slots), packet) => {
                slots.hear(packet, (stamp_us as u32).wrapping_add(offset_us));
                false
            }
        }
    }

    /// A control step, done at a time and so much too late.
    pub(super) fn control_step(&mut self, now_ms: u32, behind_ms: u32) -> Stepping {
        let mut stepping = Stepping::default();
        if let Some(movement) = self.ear.movement(now_ms, behind_ms) {
            stepping.jumped = movement.pace.steps() == 0 || movement.from.is_some();
            stepping.set_out = Some(movement.pace.steps()).filter(|&steps| steps > 0);
            self.carry_out(&movement);
        }
        if let Ear::Slots(slots) = &mut self.ear {
            stepping.set_out = slots.control_step();
            stepping.jumped = std::mem::take(&mut slots.jumped);
            stepping.cut_short = slots.cut_short;
            self.allowed = slots.allowed;
            self.goal = slots.receiver.level();
            self.go(self.goal, Pace::AT_ONCE);
        }
        stepping.allowed = self.allowed;
        self.luminaire.control_step();
        stepping
    }

    /// Whether a jump may still be on its way.
    pub(super) fn is_settling(&self) -> bool {
        matches!(&self.ear, Ear::Slots(slots) if slots.settling > 0)
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
        let shares = match (&self.meaning, &self.ear) {
            (Some(meaning), Ear::Slots(slots)) => meaning.shares(&*slots.receiver),
            _ => coloured.unwrap_or_else(plain),
        };
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
        let Ear::Gear(gear, _) = &self.ear else {
            return;
        };
        let steps = match gear.remaining() {
            0 => period_steps,
            remaining => remaining,
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
