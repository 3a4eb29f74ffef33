//! One kind of fault: time goes by in control periods, and the firmware's timer, bus and buffers go wrong.

use milliglow::bus::{ControlClock, Late};
use milliglow::flux_correction::{Configuration, Estimator};
use milliglow::{Level, Share};
use rand::SeedableRng;
use rand_pcg::Pcg32;

use super::firmware::{Firmware, MOST_CHANNELS};
use super::inject::warm_board;
use super::pipe::Pipe;
use super::traffic::{Timed, Traffic};
use super::watch::Watch;
use super::{FaultKind, FaultRow};
use crate::description::{Bus, ControlGear, Description};
use crate::run::{configured, core_shares};
use crate::thermal::correction;

/// Where every draw starts.
const START: u64 = 62_386;
/// Units of the control clock's time in a control step.
pub(super) const PERIOD: u32 = 1_000;
pub(super) const JUMP_STEPS: u16 = 500;
/// What a degree takes of the flux where the file says nothing; of every second channel twice as much, so that it is not the same for all.
const FALL: f64 = 0.002;

pub(super) fn run(
    description: &Description,
    bus: &Bus,
    set: &ControlGear,
    kind: FaultKind,
    rounds: u32,
) -> FaultRow {
    let description = &warming(description);
    let correction = correction(description);
    let mut random = Pcg32::seed_from_u64(START);
    let traffic = Traffic::new(bus, kind, rounds, &mut random);
    let mut bench = Bench::new(description, bus, set, kind, &correction, random);
    bench.injected = traffic.injected;
    bench.run(&traffic.frames, rounds);
    let there = bench.place();
    let clean = Traffic::new(bus, FaultKind::Image, 1, &mut Pcg32::seed_from_u64(START));
    let mut without = Bench::new(
        description,
        bus,
        set,
        kind,
        &correction,
        Pcg32::seed_from_u64(START),
    );
    without.run(&clean.frames, 1);
    bench.row(without.place() == there, rounds)
}

/// Flux that falls with temperature where the file says nothing of it.
fn warming(description: &Description) -> Description {
    let mut description = description.clone();
    for (channel, fall) in description
        .channels
        .iter_mut()
        .zip([FALL, 2.0 * FALL].into_iter().cycle())
    {
        if channel.flux_model.knots.is_empty() {
            channel.flux_model.knots = vec![(25.0, 1.0), (125.0, 1.0 - 100.0 * fall)];
        }
    }
    description
}

pub(super) struct Bench<'a> {
    pub(super) description: &'a Description,
    pub(super) bus: &'a Bus,
    pub(super) set: &'a ControlGear,
    pub(super) kind: FaultKind,
    pub(super) random: Pcg32,
    pub(super) firmware: Firmware<'a>,
    pub(super) twin: Option<Firmware<'a>>,
    pub(super) clock: ControlClock,
    pub(super) pipe: Option<Pipe>,
    pub(super) watch: Watch,
    /// What the time base is off.
    pub(super) offset: u32,
    /// Periods for which the timer does not come, or until the next fault.
    pub(super) held: u32,
    pub(super) next_fault: u32,
    pub(super) lost_periods: u32,
    pub(super) refused_images: u64,
    pub(super) injected: u64,
    /// How many jumps more the twin has made: what a late timer still has to do.
    pub(super) jumps_owed: i64,
}

impl<'a> Bench<'a> {
    fn new(
        description: &'a Description,
        bus: &'a Bus,
        set: &'a ControlGear,
        kind: FaultKind,
        correction: &'a Configuration<MOST_CHANNELS>,
        random: Pcg32,
    ) -> Self {
        let gear = configured(description, bus, set);
        let estimator = || {
            let is_wanted = kind == FaultKind::Temperature;
            is_wanted.then(|| settled(description, correction))
        };
        let made = || Firmware::new(description, bus, gear.clone(), estimator());
        let recipe = &description.recipes[bus.recipe].shares;
        let fluxes = description.channels.iter().map(|channel| channel.flux_lm);
        let full_lm: f64 = fluxes.zip(recipe).map(|(flux, share)| flux * share).sum();
        Self {
            description,
            bus,
            set,
            kind,
            random,
            firmware: made(),
            twin: kind.has_twin().then(made),
            clock: ControlClock::new(PERIOD, Late::CatchUp { extra: 1 }, JUMP_STEPS)
                .expect("a good period"),
            pipe: (kind == FaultKind::Underrun).then(|| Pipe::new(description)),
            watch: Watch::new(
                f64::from(description.control_hz),
                set.curve,
                description.full_output_cd_m2 / full_lm,
            ),
            offset: 0,
            held: 0,
            next_fault: description.control_hz / 2,
            lost_periods: 0,
            refused_images: 0,
            injected: 0,
            jumps_owed: 0,
        }
    }

    fn run(&mut self, frames: &[Timed], rounds: u32) {
        let hz = u64::from(self.description.control_hz);
        let round_steps = (self.bus.seconds * hz as f64).round() as u64;
        let steps = u64::from(rounds) * round_steps;
        let faulty = steps - round_steps;
        let mut frames = frames.iter().peekable();
        for step in 0..steps {
            let now_us = step * 1_000_000 / hz;
            while let Some(&(at_us, frame)) = frames.next_if(|(at_us, _)| *at_us <= now_us) {
                self.hear(frame, at_us);
            }
            if step < faulty {
                self.fault(step, round_steps);
            }
            self.time(step);
        }
    }

    fn hear(&mut self, frame: Option<u16>, at_us: u64) {
        let at_ms = (at_us / 1_000) as u32;
        for firmware in [Some(&mut self.firmware), self.twin.as_mut()] {
            let Some(firmware) = firmware else {
                continue;
            };
            match frame {
                Some(frame) => {
                    firmware
                        .queue
                        .push(frame, at_ms.wrapping_add(self.offset / PERIOD));
                }
                None => {
                    if firmware.bus_failed() {
                        self.watch.restart();
                    }
                }
            }
        }
    }

    /// A control period: the timer comes or not, and the light is what it is then.
    fn time(&mut self, step: u64) {
        if self.held > 0 {
            self.held -= 1;
        } else {
            let now = (step as u32).wrapping_mul(PERIOD).wrapping_add(self.offset);
            let steps = self.clock.steps(now);
            // One more at a time is what the clock allows; more would be seen.
            self.watch.jumps += u64::from(steps > 2);
            for _ in 0..steps {
                let stepping = self.firmware.control_step();
                let level = self.firmware.luminaire.level();
                self.watch.step(&self.firmware.gear, level, &stepping);
                self.jumps_owed -= i64::from(stepping.jumped);
            }
        }
        if let Some(twin) = &mut self.twin {
            self.jumps_owed += i64::from(twin.control_step().jumped);
        }
        self.follow_temperature(step);
        let flux_lm = match &mut self.pipe {
            Some(pipe) => pipe.period(&mut self.firmware),
            None => Some(self.firmware.flux_lm()),
        };
        let flux_lm = flux_lm.unwrap_or_else(|| self.firmware.flux_lm());
        let ideal = match &self.twin {
            Some(_) if self.jumps_owed != 0 => 0.0,
            Some(twin) => twin.flux_lm(),
            None => self.firmware.flux_lm(),
        };
        self.watch.period(flux_lm, ideal, self.darkest_lm());
    }

    /// A recipe at the lowest light, a hair less.
    fn darkest_lm(&self) -> f64 {
        let shares = self.firmware.luminaire.shares();
        let fluxes = self
            .description
            .channels
            .iter()
            .map(|channel| channel.flux_lm);
        let full: f64 = fluxes
            .zip(&shares)
            .map(|(flux, share)| flux * of(*share))
            .sum();
        0.9 * full * self.description.requirements.lowest_light
    }

    /// Where the light is.
    fn place(&self) -> (Level, Vec<Share>) {
        let luminaire = &self.firmware.luminaire;
        // What an estimator makes of the shares depends on how warm it has become.
        let shares = match self.kind {
            FaultKind::Temperature => core_shares(&[]),
            _ => luminaire.shares(),
        };
        (luminaire.level(), shares)
    }
}

fn settled<'a>(
    description: &Description,
    correction: &'a Configuration<MOST_CHANNELS>,
) -> Estimator<'a, MOST_CHANNELS> {
    let mut estimator = Estimator::new(correction);
    let dark = [milliglow::Light::BLACK; MOST_CHANNELS];
    estimator.settle(Some(warm_board(description)), &dark);
    estimator
}

fn of(share: Share) -> f64 {
    f64::from(share.to_bits()) / 4_294_967_296.0
}
