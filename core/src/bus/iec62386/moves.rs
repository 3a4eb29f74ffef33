//! From a command to the movement that it asks for.

use super::instruction::Move;
use super::{Gear, MASK};
use crate::Level;
use crate::bus::Movement;
use crate::curve::ControlLevel;
use crate::fade::{Fade, Pace};

/// How long up and down move, in tenths of a second. *Source*: IEC 62386-102 (two sources agree).
const RUN_TENTHS: u16 = 2;

/// A sequence of direct levels fades this long to each, in tenths of a second, and ends if none comes for as long.
/// *Source*: IEC 62386-102 (from memory).
const SEQUENCE_TENTHS: u16 = 2;
const SEQUENCE_MS: u32 = 200;

impl Gear {
    /// The light of the first moment: to the power-on level, softly from the minimum level. Call it once, at the start.
    pub fn power_on(&mut self) -> Option<Movement> {
        let number = match self.settings.power_on {
            MASK => self.settings.last_active,
            number => number,
        };
        let movement = self.fade_to(number, self.configuration.soft_start_tenths);
        self.power_cycled = true;
        movement
    }

    /// The bus has lost its power: to the system-failure level, at once.
    pub fn bus_failed(&mut self) -> Option<Movement> {
        match self.settings.system_failure {
            MASK => None,
            number => self.fade_to(number, 0),
        }
    }

    /// A direct arc power level; [`MASK`] stops where the light is.
    pub(super) fn direct(&mut self, number: u8, at_ms: u32) -> Option<Movement> {
        let since = self.sequence.take();
        let in_sequence = since.filter(|&since| at_ms.wrapping_sub(since) <= SEQUENCE_MS);
        self.sequence = in_sequence.map(|_| at_ms);
        match number {
            MASK => Some(self.stop()),
            _ if self.sequence.is_some() => self.fade_to(number, SEQUENCE_TENTHS),
            _ => self.fade_to(number, self.settings.tenths()),
        }
    }

    /// Whatever else moves the light ends a sequence of direct levels.
    pub(super) fn carry_out(&mut self, command: Move, at_ms: u32) -> Option<Movement> {
        let limits = self.settings.limits;
        self.sequence = None;
        match command {
            Move::EnableSequence => {
                self.sequence = Some(at_ms);
                None
            }
            Move::Off => self.fade_to(0, 0),
            Move::Up => self.run(true),
            Move::Down => self.run(false),
            Move::StepUp => self.step_by(1),
            Move::StepDown => self.step_by(-1),
            Move::Maximum => self.fade_to(limits.maximum, 0),
            Move::Minimum => self.fade_to(limits.minimum, 0),
            Move::StepDownAndOff if self.actual() <= limits.minimum => self.fade_to(0, 0),
            Move::StepDownAndOff => self.step_by(-1),
            Move::OnAndStepUp if self.level() == Level::OFF => self.fade_to(limits.minimum, 0),
            Move::OnAndStepUp => self.step_by(1),
            Move::LastActive => self.fade_to(self.settings.last_active, self.settings.tenths()),
            Move::Scene(index) => self.recall(index),
        }
    }

    /// Level and colour of a scene arrive together; a masked level stays where it is.
    fn recall(&mut self, index: u8) -> Option<Movement> {
        let scene = self.settings.scene(index);
        if scene.colour.is_some() {
            self.temporary.set(scene.colour);
        }
        match scene.level {
            MASK => self.activate(),
            level => self.fade_to(level, self.settings.tenths()),
        }
    }

    /// To a control level, held within the limits, with whatever colour waits.
    pub(super) fn fade_to(&mut self, number: u8, tenths: u16) -> Option<Movement> {
        let held = self.settings.limits.held(number);
        self.limited = held != number;
        self.power_cycled = false;
        if held != 0 {
            self.settings.last_active = held;
        }
        let steps = self.steps(tenths);
        if steps == 0 || (held == 0 && self.level() == Level::OFF) {
            return Some(self.jump(held));
        }
        let minimum = self.place(self.settings.limits.minimum);
        let from = (self.level() == Level::OFF).then_some(minimum);
        if let Some(from) = from {
            self.fade = Fade::at([from.to_bits().into()]);
        }
        self.off_at_arrival = held == 0;
        let target = if held == 0 { minimum } else { self.place(held) };
        Some(self.start(from, target, Pace::new(steps)))
    }

    /// One control level up or down from the nearest, unless off.
    fn step_by(&mut self, by: i8) -> Option<Movement> {
        match self.actual() {
            0 => None,
            number => self.fade_to(number.saturating_add_signed(by).max(1), 0),
        }
    }

    /// Up or down at the fade rate for 200 ms, or until the limit; nothing when off.
    fn run(&mut self, up: bool) -> Option<Movement> {
        let here = self.level();
        if here == Level::OFF {
            return None;
        }
        let limits = self.settings.limits;
        let end = self.place(if up { limits.maximum } else { limits.minimum });
        let (room, reach) = (here.to_bits().abs_diff(end.to_bits()), self.reach());
        self.limited = u32::from(room) < reach;
        self.power_cycled = false;
        self.off_at_arrival = false;
        let steps = self.steps(RUN_TENTHS);
        let (target, steps) = if self.limited {
            (end, (u32::from(room) * steps).div_ceil(reach))
        } else if up {
            (Level::from_bits(here.to_bits() + reach as u16), steps)
        } else {
            (Level::from_bits(here.to_bits() - reach as u16), steps)
        };
        let nearest = self.configuration.curve.nearest(target);
        self.settings.last_active = nearest.map_or(0, ControlLevel::number);
        Some(self.start(None, target, Pace::new(steps)))
    }

    /// How far up and down move, in Levels, to the nearest: 259 Levels a control level, or 258.01 on the linear curve.
    /// No rate goes less far than 1; the compiler is told so since it is divided by.
    fn reach(&self) -> u32 {
        let rate = self.settings.fade_rate.millilevels_a_second();
        ((rate * self.levels_a_number() + 2_500) / 5_000).max(1)
    }

    const fn levels_a_number(&self) -> u32 {
        match self.configuration.curve {
            crate::curve::ControlCurve::Logarithmic => 259,
            crate::curve::ControlCurve::Linear => 258,
        }
    }

    /// Holds the light where it is.
    fn stop(&mut self) -> Movement {
        self.off_at_arrival = false;
        self.start(None, self.level(), Pace::AT_ONCE)
    }

    pub(super) fn jump(&mut self, number: u8) -> Movement {
        self.off_at_arrival = false;
        self.start(None, self.place(number), Pace::AT_ONCE)
    }

    /// Sets off from where the light is.
    pub(super) fn start(&mut self, from: Option<Level>, level: Level, pace: Pace) -> Movement {
        self.fade.start(&[level.to_bits().into()], pace);
        self.goal = level;
        Movement {
            from,
            level,
            colour: self.take_colour(),
            pace,
        }
    }

    /// The Level of a control level; off for 0.
    pub(super) fn place(&self, number: u8) -> Level {
        match ControlLevel::new(number) {
            Ok(level) => self.configuration.curve.continuous(level).1,
            Err(_) => Level::OFF,
        }
    }

    /// Control steps of a time, to the nearest.
    pub(super) fn steps(&self, tenths: u16) -> u32 {
        (u32::from(tenths) * u32::from(self.configuration.control_hz) + 5) / 10
    }
}
