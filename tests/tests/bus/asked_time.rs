//! What time a command may take, told without the gear's own arithmetic: by what it answers about its settings, and by the tables.

use crate::control_gear::*;
use milliglow::Level;
use milliglow::bus::Movement;
use milliglow::bus::iec62386::{ExtendedFadeTime, FadeRate, FadeTime, Frame};
use milliglow::curve::ControlCurve;

/// Control steps of up and down, and of a level in a sequence: 200 ms.
const RUN_STEPS: u32 = CONTROL_HZ / 5;
const ENABLE_SEQUENCE: u8 = 0x09;

/// What a gear is told, followed beside it.
pub(crate) struct AskedTime {
    /// When the last frame of a sequence of direct levels came.
    sequence: Option<u32>,
}

/// A gear before it hears a frame.
pub(crate) struct Heard {
    before: Bus,
    taken: u16,
}

impl AskedTime {
    pub(crate) const fn new() -> Self {
        Self { sequence: None }
    }

    pub(crate) fn before(bus: &Bus) -> Heard {
        Heard {
            before: bus.clone(),
            taken: bus.gear.counts().taken,
        }
    }

    /// What a frame asked for must take as long as the settings say, and go as far.
    pub(crate) fn check(
        &mut self,
        heard: &Heard,
        bus: &Bus,
        frame: u16,
        movement: Option<&Movement>,
    ) {
        if bus.gear.counts().taken == heard.taken {
            assert_eq!(movement, None, "{frame:04x} is for others");
            return;
        }
        let expected = self.steps(heard, bus, frame);
        let Some(movement) = movement else { return };
        let steps = movement.pace.steps();
        let told = format!("{frame:04x}: {steps} control steps, not {expected:?}");
        match frame as u8 {
            UP | DOWN if frame & 0x100 != 0 => assert_run(&heard.before, movement, &told),
            _ => assert!(expected.contains(&steps), "{told}"),
        }
    }

    fn steps(&mut self, heard: &Heard, bus: &Bus, frame: u16) -> Vec<u32> {
        let before = &heard.before;
        let is_off = before.gear.level() == Level::OFF;
        let fade = fade_steps(before);
        match Frame::decode(frame) {
            Frame::Level { number, .. } => {
                let since = self.sequence.take();
                let kept = since.is_some_and(|since| bus.now_ms.wrapping_sub(since) <= 200);
                self.sequence = kept.then_some(bus.now_ms);
                match number {
                    255 => vec![0],
                    0 if is_off => vec![0],
                    _ if kept => vec![RUN_STEPS],
                    _ => vec![fade],
                }
            }
            Frame::Command { code, .. } => {
                if matches!(code, 0..=LAST_ACTIVE | 0x10..=0x1F) {
                    self.sequence = None;
                }
                match code {
                    ENABLE_SEQUENCE => {
                        self.sequence = Some(bus.now_ms);
                        vec![]
                    }
                    LAST_ACTIVE => vec![fade],
                    // From off to off is no fade.
                    0x10..=0x1F if is_off => vec![fade, 0],
                    0x10..=0x1F => vec![fade],
                    0xE2 if is_off => vec![0],
                    0xE2 => vec![fade],
                    0xE8 | 0xE9 => vec![before.gear.remaining()],
                    // New limits: at once, or the fade that runs goes elsewhere.
                    SET_MAXIMUM | SET_MINIMUM => vec![0, fade],
                    _ => vec![0],
                }
            }
            _ => vec![],
        }
    }
}

/// Control steps of a fade.
fn fade_steps(bus: &Bus) -> u32 {
    let mut asked = bus.clone();
    let (times, extended) = (asked.query(0xA5).unwrap(), asked.query(0xA8).unwrap());
    let tenths = FadeTime::from_code_saturating(times >> 4).tenths();
    let tenths = tenths.unwrap_or(ExtendedFadeTime::from_byte(extended).tenths());
    u32::from(tenths) * CONTROL_HZ / 10
}

/// Up and down go at the rate for 200 ms, or to the limit for less.
fn assert_run(before: &Bus, movement: &Movement, told: &str) {
    let mut asked = before.clone();
    let rate = FadeRate::from_code_saturating(asked.query(0xA5).unwrap() & 15);
    let levels_a_number = match before.curve {
        ControlCurve::Logarithmic => 259.0,
        ControlCurve::Linear => 65_535.0 / 254.0,
    };
    let reach = f64::from(rate.millilevels_a_second()) / 1_000.0 * 0.2 * levels_a_number;
    let here = before.gear.level().to_bits();
    let distance = f64::from(here.abs_diff(movement.level.to_bits()));
    let steps = movement.pace.steps();
    assert!(steps <= RUN_STEPS && distance <= reach + 0.6, "{told}");
    let at_rate = distance / reach * f64::from(RUN_STEPS);
    let off = (f64::from(steps) - at_rate).abs();
    // A control step of rounding, and what half a Level takes at the slowest rate.
    assert!(
        off <= 1.0 + 0.6 / reach * f64::from(RUN_STEPS),
        "{told}: {off}"
    );
}
