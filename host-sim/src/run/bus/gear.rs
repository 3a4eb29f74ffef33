//! A control gear hears its log: movements become fades.

use std::collections::VecDeque;
use std::iter::Peekable;
use std::slice::Iter;

use milliglow::Level;
use milliglow::bus::iec62386::Gear;
use milliglow::bus::{FrameQueue, Movement};

use super::recipes::Recipes;
use super::seen::{BusSeen, FrameSeen, Heard, shown};
use super::set_up::configured;
use super::{Played, begin_us, steps};
use crate::description::{Bus, BusFrame, ControlGear, Description, Fade, LevelChoice};
use crate::run::course::{Course, Leg};

/// Frames that wait for their control step at the most.
const QUEUED: usize = 16;

pub(super) fn play(description: &Description, bus: &Bus, set: &ControlGear) -> Played {
    let mut legs = Legs::new(description, bus);
    let mut hearing = Hearing {
        gear: configured(description, bus, set),
        queue: FrameQueue::new(),
        waiting: bus.frames.iter().peekable(),
        seen: Vec::new(),
        queued: VecDeque::new(),
    };
    for step in 0..steps(description, bus.seconds) {
        let now_us = begin_us(step, description.control_hz);
        let before = hearing.gear.level();
        legs.step(before, hearing.control_step(step, now_us));
    }
    legs.played(hearing.seen())
}

/// A gear and what comes to it.
struct Hearing<'a> {
    gear: Gear,
    queue: FrameQueue<QUEUED>,
    waiting: Peekable<Iter<'a, BusFrame>>,
    seen: Vec<FrameSeen>,
    /// Which of them wait in the queue.
    queued: VecDeque<usize>,
}

impl Hearing<'_> {
    /// Frames come, the gear hears one of them, and its own time goes on: the last movement counts.
    fn control_step(&mut self, step: u32, now_us: u64) -> Option<Movement> {
        let mut movement = (step == 0).then(|| self.gear.power_on()).flatten();
        while let Some(frame) = self.waiting.next_if(|frame| frame.at_us <= now_us) {
            movement = self.comes(frame, step).or(movement);
        }
        movement = self.hears(step).or(movement);
        self.gear.control_step().or(movement)
    }

    /// A frame queues, unless there is no room; a bus that fails is noticed at once.
    fn comes(&mut self, frame: &BusFrame, step: u32) -> Option<Movement> {
        let mut entry = FrameSeen {
            at_s: frame.at_us as f64 / 1e6,
            text: shown(&frame.bytes),
            heard: Heard::Passed,
            level: None,
            carried_out: None,
            dead_time_s: None,
        };
        let mut movement = None;
        if let [first, second] = frame.bytes[..] {
            let at_ms = (frame.at_us / 1_000) as u32;
            if self.queue.push(u16::from_be_bytes([first, second]), at_ms) {
                self.queued.push_back(self.seen.len());
            }
        } else {
            entry.heard = Heard::Lost;
            movement = self.gear.bus_failed();
            tell(&mut entry, movement, step);
        }
        self.seen.push(entry);
        movement
    }

    fn hears(&mut self, step: u32) -> Option<Movement> {
        let (frame, at_ms) = self.queue.pop()?;
        let before = self.gear.counts();
        let movement = self.gear.receive(frame, at_ms).movement;
        let after = self.gear.counts();
        let entry = &mut self.seen[self.queued.pop_front()?];
        if after.taken > before.taken && after.unknown == before.unknown {
            entry.heard = Heard::Taken;
        }
        if movement.is_some() {
            entry.heard = Heard::Moved;
        }
        tell(entry, movement, step);
        movement
    }

    fn seen(self) -> BusSeen {
        let counts = self.gear.counts();
        BusSeen {
            frames: self.seen,
            interval_s: None,
            counts: vec![
                ("frames taken", counts.taken.into()),
                ("frames for others", counts.others.into()),
                ("frames unknown", counts.unknown.into()),
                ("commands that came once", counts.single.into()),
                ("queue overflows", self.queue.overflows()),
            ],
            stream_hash: 0,
        }
    }
}

/// What a frame asks for, and when the light sets out for it.
fn tell(entry: &mut FrameSeen, movement: Option<Movement>, step: u32) {
    entry.level = movement.map(|movement| movement.level.to_bits());
    entry.carried_out = movement.map(|_| step);
}

/// Movements as fades of a script.
struct Legs<'a> {
    description: Description,
    recipes: Recipes<'a>,
    recipe: usize,
    legs: Vec<Leg>,
    control_hz: f64,
}

impl<'a> Legs<'a> {
    fn new(description: &Description, bus: &'a Bus) -> Self {
        Self {
            description: description.clone(),
            recipes: Recipes::new(description, bus),
            recipe: bus.recipe,
            legs: Vec::new(),
            control_hz: f64::from(description.control_hz),
        }
    }

    /// One control step, in which the light may set out for somewhere else.
    fn step(&mut self, before: Level, movement: Option<Movement>) {
        match movement {
            Some(movement) => self.set_out(before, &movement),
            None if self.legs.is_empty() => self.set_out(before, &stand(before)),
            None => {}
        }
        if let Some(leg) = self.legs.last_mut() {
            leg.steps += 1;
        }
    }

    fn set_out(&mut self, before: Level, movement: &Movement) {
        let wanted = movement.colour.and_then(|colour| self.recipes.of(colour));
        self.recipe = wanted.unwrap_or(self.recipe);
        let of = movement.pace.steps();
        self.description.script.push(Fade {
            recipe: self.recipe,
            level: LevelChoice::Level(movement.level.to_bits()),
            through: Vec::new(),
            seconds: f64::from(of) / self.control_hz,
        });
        self.legs.push(Leg {
            round: 0,
            fade: self.description.script.len() - 1,
            from: movement.from.filter(|&from| from != before),
            of: of.max(1),
            is_jump: of == 0,
            steps: 0,
        });
    }

    fn played(mut self, seen: BusSeen) -> Played {
        self.description.recipes = self.recipes.recipes;
        Played {
            description: self.description,
            course: Course::Fades(self.legs),
            seen,
        }
    }
}

/// Nothing moves.
const fn stand(level: Level) -> Movement {
    Movement {
        from: None,
        level,
        colour: None,
        pace: milliglow::fade::Pace::AT_ONCE,
    }
}
