//! One kind of fault: time goes by in control periods, and the firmware's timer, bus and buffers go wrong.

use milliglow::bus::iec62386::{SETTINGS_BYTES, Settings};
use milliglow::bus::{ControlClock, Late};
use milliglow::flux_correction::{Configuration, Estimator, Temperature};
use milliglow::{Level, Share};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg32;

use super::firmware::{Firmware, MOST_CHANNELS};
use super::pipe::Pipe;
use super::traffic::{Timed, Traffic};
use super::watch::Watch;
use super::{FaultKind, FaultRow};
use crate::description::{Bus, ControlGear, Description};
use crate::run::{configured, core_shares, fresh};
use crate::thermal::{PERIOD_S, board_sensor, correction};

/// Where every draw starts.
const START: u64 = 62_386;
/// Units of the control clock's time in a control step.
const PERIOD: u32 = 1_000;
const JUMP_STEPS: u16 = 500;
/// Latest that the timer is, in control steps. Twice as late, a fade of 2 s over 150 control levels stands for so long that its light is 8 % off
/// when the timer is back.
const LATEST: u32 = 20;
/// Seconds between faults of time and buffers, at most.
const APART_S: f64 = 1.0;
/// How much warmer the board is than the file says, in degrees: where the fallback is wrong.
const WARMER: f64 = 30.0;
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

struct Bench<'a> {
    description: &'a Description,
    bus: &'a Bus,
    set: &'a ControlGear,
    kind: FaultKind,
    random: Pcg32,
    firmware: Firmware<'a>,
    twin: Option<Firmware<'a>>,
    clock: ControlClock,
    pipe: Option<Pipe>,
    watch: Watch,
    /// What the time base is off.
    offset: u32,
    /// Periods for which the timer does not come, or until the next fault.
    held: u32,
    next_fault: u32,
    lost_periods: u32,
    refused_images: u64,
    injected: u64,
    /// How many jumps more the twin has made: what a late timer still has to do.
    jumps_owed: i64,
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

    /// Faults of time, buffers and images; those of frames are in the traffic.
    fn fault(&mut self, step: u64, round_steps: u64) {
        if self.kind == FaultKind::Image {
            // In the middle of each round.
            if step % round_steps == round_steps / 2 {
                self.brown_out();
            }
            return;
        }
        self.next_fault -= 1;
        if self.next_fault > 0 {
            return;
        }
        let apart = (APART_S * f64::from(self.description.control_hz)) as u32;
        self.next_fault = self.random.random_range(apart / 4..=apart).max(1);
        match self.kind {
            FaultKind::TimeJump => {
                let least = PERIOD * (u32::from(JUMP_STEPS) + 2);
                self.offset = self
                    .offset
                    .wrapping_add(self.random.random_range(least..=u32::MAX - least));
            }
            FaultKind::Missed => self.held = self.random.random_range(1..=LATEST),
            FaultKind::Underrun => {
                if let Some(pipe) = &mut self.pipe {
                    pipe.stalled = self.random.random_range(1..=20);
                }
            }
            FaultKind::Temperature => {
                self.lost_periods = self.random.random_range(1..=20);
                self.next_fault *= 4;
            }
            _ => return,
        }
        self.injected += 1;
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

    fn follow_temperature(&mut self, step: u64) {
        let period = (PERIOD_S * f64::from(self.description.control_hz))
            .round()
            .max(1.0) as u32;
        if self.kind != FaultKind::Temperature || !step.is_multiple_of(period.into()) {
            return;
        }
        let board = Some(warm_board(self.description));
        let is_lost = self.lost_periods > 0;
        self.lost_periods = self.lost_periods.saturating_sub(1);
        self.firmware.correct(board.filter(|_| !is_lost), period);
        if let Some(twin) = &mut self.twin {
            twin.correct(board, period);
        }
    }

    /// Power fails while the settings are written: a bit is flipped, or the end is missing.
    fn brown_out(&mut self) {
        let mut image = [0; SETTINGS_BYTES];
        let settings = self.firmware.gear.settings();
        settings.to_image(&mut image).expect("room");
        let mut kept = SETTINGS_BYTES;
        if self.random.random_bool(0.5) {
            let bit = self.random.random_range(0..SETTINGS_BYTES * 8);
            image[bit / 8] ^= 1 << (bit % 8);
        } else {
            kept = self.random.random_range(0..SETTINGS_BYTES);
        }
        self.injected += 1;
        let gear = match Settings::from_image(&image[..kept]) {
            Ok(settings) => {
                let mut gear = fresh(self.description, self.bus, self.set);
                gear.restore(&settings);
                gear
            }
            Err(_) => {
                self.refused_images += 1;
                configured(self.description, self.bus, self.set)
            }
        };
        self.firmware.restart(gear);
        self.watch.restart();
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

    fn row(&self, recovered: bool, rounds: u32) -> FaultRow {
        FaultRow {
            kind: self.kind,
            seconds: f64::from(rounds - 1) * self.bus.seconds,
            injected: self.injected,
            counters: self.counters(),
            outside: self.watch.outside,
            jumps: self.watch.jumps,
            off_time_steps: self.watch.off_time,
            off_time_limit: match self.kind {
                // A fade that ends while the timer is late ends when it is back, and all is caught up.
                FaultKind::Missed => f64::from(2 * LATEST),
                _ => 1.0,
            },
            below_90_hz: self.watch.below_90_hz,
            flashes_hz: self.watch.flashes_hz(),
            recovered,
        }
    }

    fn counters(&self) -> Vec<(&'static str, u64)> {
        let (frames, clock) = (self.firmware.gear.counts(), self.clock.counts());
        match self.kind {
            FaultKind::Flipped => vec![
                ("taken", frames.taken.into()),
                ("others", frames.others.into()),
                ("unknown", frames.unknown.into()),
            ],
            FaultKind::Lost | FaultKind::Doubled => vec![("taken", frames.taken.into())],
            FaultKind::Late => vec![
                ("taken", frames.taken.into()),
                ("single", frames.single.into()),
            ],
            FaultKind::Overflow => vec![("overflows", self.firmware.queue.overflows().into())],
            FaultKind::TimeJump => vec![("jumps", clock.jumps.into())],
            FaultKind::Missed => vec![
                ("late", clock.late.into()),
                ("dropped", clock.dropped.into()),
            ],
            FaultKind::Underrun => {
                let underruns = self.pipe.as_ref().map_or(0, Pipe::underruns);
                vec![("underruns", underruns)]
            }
            FaultKind::Temperature => vec![("lost_inputs", self.firmware.lost_inputs())],
            FaultKind::Image => vec![("refused", self.refused_images)],
        }
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

fn warm_board(description: &Description) -> Temperature {
    let bits = f64::from(board_sensor(description).to_bits()) + 64.0 * WARMER;
    Temperature::from_bits(bits.min(f64::from(Temperature::HIGHEST_BOARD.to_bits())) as i16)
}

fn of(share: Share) -> f64 {
    f64::from(share.to_bits()) / 4_294_967_296.0
}
