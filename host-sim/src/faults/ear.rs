//! What listens to the bus in a firmware: a control gear behind its queue, or a receiver of slots.

use milliglow::Level;
use milliglow::bus::dmx512::Counts;
use milliglow::bus::iec62386::Gear;
use milliglow::bus::{FrameQueue, Movement};
use milliglow::curve::{ControlCurve, ControlLevel};

use crate::description::{Receiver, SlotRole};
use crate::run::{Receives, asked_level};

/// A change of Level from packet to packet that is a jump: a twentieth of full.
const JUMP: u32 = 65_535 / 20;
/// Packets after a jump in which a light without the fault may be elsewhere.
const SETTLING_PACKETS: u32 = 8;
/// Levels that a creep may go on by in a packet, and come back: five steps of 8 bits.
const CREEP: u32 = 5 * 257;

pub(super) enum Ear<'a> {
    Gear(Box<Gear>, FrameQueue<16>),
    Slots(SlotEar<'a>),
}

pub(super) struct SlotEar<'a> {
    pub(super) receiver: Box<dyn Receives>,
    set: &'a Receiver,
    control_hz: u32,
    /// Levels that a control step may move by.
    pub(super) allowed: u32,
    /// A jump came since the last control step.
    pub(super) jumped: bool,
    /// Control steps in which a jump may still be on its way.
    pub(super) settling: u32,
    was_lost: bool,
    /// Packets came back before a loss had faded.
    pub(super) cut_short: bool,
}

impl Ear<'_> {
    pub(super) fn gear(gear: Gear) -> Self {
        Self::Gear(Box::new(gear), FrameQueue::new())
    }

    /// The lowest and the highest Level of a light that is on.
    pub(super) fn limits(&self, curve: ControlCurve) -> (Level, Level) {
        let Self::Gear(gear, _) = self else {
            return (Level::OFF, Level::FULL);
        };
        // What a gear answers who asks for its limits.
        let mut asked = gear.clone();
        let mut limit = |query: u16| {
            let answer = asked.receive(0xFF00 | query, 0).answer;
            let level = answer.and_then(|number| ControlLevel::new(number).ok());
            level.map(|level| curve.continuous(level).1)
        };
        let (minimum, maximum) = (limit(0xA2), limit(0xA1));
        (
            minimum.unwrap_or(Level::OFF),
            maximum.unwrap_or(Level::FULL),
        )
    }

    /// Control steps that the fade of a gear still takes.
    pub(super) fn remaining(&self) -> u32 {
        match self {
            Self::Gear(gear, _) => gear.remaining(),
            Self::Slots(_) => 0,
        }
    }

    /// Whether no fade of its own time runs.
    pub(super) fn has_ended(&self) -> bool {
        match self {
            Self::Gear(gear, _) => gear.remaining() == 0,
            Self::Slots(slots) => slots.is_there(),
        }
    }

    /// The movement that a gear asks for in a control step done at a time, so much too late.
    pub(super) fn movement(&mut self, now_ms: u32, behind_ms: u32) -> Option<Movement> {
        match self {
            Self::Gear(gear, queue) => {
                let heard = queue
                    .pop_due(now_ms, behind_ms)
                    .and_then(|(frame, at_ms)| gear.receive(frame, at_ms).movement);
                gear.control_step().or(heard)
            }
            Self::Slots(_) => None,
        }
    }

    pub(super) fn packets(&self) -> Counts {
        match self {
            Self::Gear(..) => Counts::default(),
            Self::Slots(slots) => slots.receiver.counts(),
        }
    }
}

impl<'a> SlotEar<'a> {
    pub(super) fn new(receiver: Box<dyn Receives>, set: &'a Receiver, control_hz: u32) -> Self {
        Self {
            receiver,
            set,
            control_hz,
            allowed: 0,
            jumped: false,
            settling: 0,
            was_lost: false,
            cut_short: false,
        }
    }

    /// A packet; what it asks for may be reached over the time to the next, or half of it if this one is late.
    pub(super) fn hear(&mut self, packet: &[u8], stamp_us: u32) {
        if !self.receiver.packet(packet, stamp_us) {
            return;
        }
        let Some(asked) = asked_level(packet, &self.set.slots) else {
            return;
        };
        let here = self.receiver.level().to_bits();
        let way = u32::from((asked.round() as u16).abs_diff(here));
        let steps = (u64::from(self.receiver.interval_us()) * u64::from(self.control_hz)
            / 1_000_000) as u32;
        self.jumped |= steps == 0;
        if way > JUMP {
            self.settling = SETTLING_PACKETS * steps.max(1);
        }
        self.allowed = (2 * way + CREEP) / steps.max(1) + 1;
    }

    /// Whether the Level is where a loss of data fades to.
    fn is_there(&self) -> bool {
        let mut slots = self.set.slots.iter();
        let level = slots.find(|slot| slot.role == SlotRole::Level);
        let goal = level.map_or(1.0, |slot| slot.loss);
        let goal = (goal * 65_535.0).round() as u16;
        self.receiver.level().to_bits() == goal
    }

    /// A control step; how long a loss that is noticed in it takes to fade.
    pub(super) fn control_step(&mut self) -> Option<u32> {
        self.receiver.control_step();
        self.settling = self.settling.saturating_sub(1);
        let is_lost = self.receiver.is_lost();
        let noticed = is_lost && !self.was_lost && !self.is_there();
        self.cut_short = self.was_lost && !is_lost;
        self.was_lost = is_lost;
        let seconds = self.set.loss_fade_s.filter(|_| noticed)?;
        let steps = ((seconds * 10.0).round() as u32 * self.control_hz / 10).max(1);
        self.allowed = 65_535 / steps + 1;
        self.settling = steps;
        Some(steps)
    }
}
