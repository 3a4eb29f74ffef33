//! Faults of time, buffers, temperature and images.

use milliglow::bus::iec62386::{SETTINGS_BYTES, Settings};
use milliglow::flux_correction::Temperature;
use rand::RngExt;

use super::FaultKind;
use super::bench::{Bench, JUMP_STEPS, PERIOD, ear};
use super::ear::Ear;
use super::kinds::LATEST_STEPS;
use crate::description::{BusKind, Description};
use crate::run::fresh;
use crate::thermal::{PERIOD_S, board_sensor};

/// Seconds between faults of time and buffers, at most.
const APART_S: f64 = 1.0;
/// How much warmer the board is than the file says, in degrees: where the fallback is wrong.
const WARMER: f64 = 30.0;

impl<'a> Bench<'a> {
    /// Faults of time, buffers and images; those of frames are in the traffic.
    pub(super) fn fault(&mut self, step: u64, round_steps: u64) {
        if matches!(self.kind, FaultKind::Image | FaultKind::PowerCut) {
            // In the middle of each round.
            if step % round_steps == round_steps / 2 {
                self.injected += 1;
                let ear = match self.kind {
                    FaultKind::Image => self.kept(),
                    _ => ear(self.description, self.bus),
                };
                self.firmware.restart(ear);
                self.watch.restart();
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
            FaultKind::Missed | FaultKind::MissedHeld => {
                self.held = self.random.random_range(1..=LATEST_STEPS);
            }
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

    /// What is kept when power fails while the settings are written: a bit is flipped, or the end is missing.
    fn kept(&mut self) -> Ear<'a> {
        let (Ear::Gear(gear, _), BusKind::Iec62386(set)) = (&self.firmware.ear, &self.bus.kind)
        else {
            return ear(self.description, self.bus);
        };
        let mut image = [0; SETTINGS_BYTES];
        gear.settings().to_image(&mut image).expect("room");
        let mut kept = SETTINGS_BYTES;
        if self.random.random_bool(0.5) {
            let bit = self.random.random_range(0..SETTINGS_BYTES * 8);
            image[bit / 8] ^= 1 << (bit % 8);
        } else {
            kept = self.random.random_range(0..SETTINGS_BYTES);
        }
        match Settings::from_image(&image[..kept]) {
            Ok(settings) => {
                let mut gear = fresh(self.description, self.bus, set);
                gear.restore(&settings);
                Ear::gear(gear)
            }
            Err(_) => {
                self.refused_images += 1;
                ear(self.description, self.bus)
            }
        }
    }
}

pub(super) fn warm_board(description: &Description) -> Temperature {
    let bits = f64::from(board_sensor(description).to_bits()) + 64.0 * WARMER;
    Temperature::from_bits(bits.min(f64::from(Temperature::HIGHEST_BOARD.to_bits())) as i16)
}
