//! Time goes by in control periods: frames come, the timer comes or not, and the light is watched.

use milliglow::Share;

use super::FaultKind;
use super::bench::{Bench, PERIOD};
use super::firmware::Firmware;
use super::kinds::EXTRA_STEPS;
use super::traffic::Timed;

/// Control periods in which the twin of a light that holds slips by one, at the most.
const SLIP_PERIODS: u64 = 4;

impl Bench<'_> {
    /// The twin hears frames of its own.
    pub(super) fn run(&mut self, frames: &[Timed], clean: &[Timed], rounds: u32) {
        let hz = u64::from(self.description.control_hz);
        let round_steps = (self.bus.seconds * hz as f64).round() as u64;
        let steps = u64::from(rounds) * round_steps;
        let faulty = steps - round_steps;
        let (mut frames, mut clean) = (frames.iter().peekable(), clean.iter().peekable());
        for step in 0..steps {
            let now_us = step * 1_000_000 / hz;
            let is_there = |timed: &&Timed| timed.handed_us <= now_us;
            let offset_us = self.offset_us();
            while let Some(timed) = frames.next_if(is_there) {
                if self.firmware.hear(&timed.bytes, timed.at_us, offset_us) {
                    self.watch.restart();
                }
            }
            while let Some(timed) = clean.next_if(is_there) {
                if let Some(twin) = &mut self.twin {
                    twin.hear(&timed.bytes, timed.at_us, 0);
                }
            }
            if step < faulty {
                self.fault(step, round_steps);
            }
            self.time(step);
        }
    }

    /// What time stamps of frames are off.
    fn offset_us(&self) -> u32 {
        (self.offset / PERIOD).wrapping_mul(1_000_000 / self.description.control_hz)
    }

    /// Of so many control steps, rounded up.
    fn milliseconds(&self, steps: u32) -> u32 {
        (steps * 1_000).div_ceil(self.description.control_hz)
    }

    /// A control period: the timer comes or not, and the light is what it is then.
    fn time(&mut self, step: u64) {
        let now_ms = (step * 1_000 / u64::from(self.description.control_hz)) as u32;
        let stamped_ms = now_ms.wrapping_add(self.offset_us() / 1_000);
        if self.held > 0 {
            self.held -= 1;
        } else {
            let now = (step as u32).wrapping_mul(PERIOD).wrapping_add(self.offset);
            let steps = self.clock.steps(now);
            // What the clock allows at a time; more would be seen.
            self.watch.jumps += u64::from(steps > 1 + u32::from(EXTRA_STEPS));
            for left in (0..steps).rev() {
                let behind = self.clock.missing() + left;
                let stepping = (self.firmware).control_step(stamped_ms, self.milliseconds(behind));
                let level = self.firmware.luminaire.level();
                let off_steps = behind + u32::from(self.clock.counts().dropped);
                self.watch
                    .step(&self.firmware.ear, level, &stepping, off_steps);
                self.jumps_owed -= i64::from(stepping.jumped);
            }
        }
        let slips = self.slips(step);
        if let Some(twin) = self.twin.as_mut().filter(|_| !slips) {
            self.jumps_owed += i64::from(twin.control_step(now_ms, 0).jumped);
        }
        self.follow_temperature(step);
        let flux_lm = match &mut self.pipe {
            Some(pipe) => pipe.period(&mut self.firmware),
            None => Some(self.firmware.flux_lm()),
        };
        let flux_lm = flux_lm.unwrap_or_else(|| self.firmware.flux_lm());
        let ideal = match &self.twin {
            Some(_) if self.jumps_owed != 0 || self.firmware.is_settling() => 0.0,
            Some(twin) if twin.is_settling() => 0.0,
            Some(twin) => twin.flux_lm(),
            None => self.firmware.flux_lm(),
        };
        self.watch.period(flux_lm, ideal, self.darkest_lm());
    }

    /// A fade that is held ends later: the twin's slips to where it is, a control step now and then, for a fade that is late does not flicker.
    fn slips(&self, step: u64) -> bool {
        let remaining = |firmware: &Firmware<'_>| firmware.ear.remaining();
        let twin = self.twin.as_ref().map_or(0, remaining);
        self.kind == FaultKind::MissedHeld
            && step.is_multiple_of(SLIP_PERIODS)
            && (1..remaining(&self.firmware)).contains(&twin)
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
}

fn of(share: Share) -> f64 {
    f64::from(share.to_bits()) / 4_294_967_296.0
}
