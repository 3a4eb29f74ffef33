//! Faults of time, buffers, temperature and images.

use milliglow::bus::iec62386::{SETTINGS_BYTES, Settings};
use milliglow::flux_correction::Temperature;
use rand::RngExt;

use super::FaultKind;
use super::bench::{Bench, JUMP_STEPS, PERIOD};
use crate::description::Description;
use crate::run::{configured, fresh};
use crate::thermal::{PERIOD_S, board_sensor};

/// Latest that the timer is, in control steps. Twice as late, in a fade of 2 s over all control levels, the light is so far behind when the timer is back
/// that it swings by 5.6 %: more than the rule allows.
pub(super) const LATEST: u32 = 10;
/// Seconds between faults of time and buffers, at most.
const APART_S: f64 = 1.0;
/// How much warmer the board is than the file says, in degrees: where the fallback is wrong.
const WARMER: f64 = 30.0;

impl Bench<'_> {
    /// Faults of time, buffers and images; those of frames are in the traffic.
    pub(super) fn fault(&mut self, step: u64, round_steps: u64) {
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

    pub(super) fn follow_temperature(&mut self, step: u64) {
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
}

pub(super) fn warm_board(description: &Description) -> Temperature {
    let bits = f64::from(board_sensor(description).to_bits()) + 64.0 * WARMER;
    Temperature::from_bits(bits.min(f64::from(Temperature::HIGHEST_BOARD.to_bits())) as i16)
}
