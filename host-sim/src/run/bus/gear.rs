//! A control gear hears its log: movements become fades.

use milliglow::bus::iec62386::{Configuration, Frame, Gear};
use milliglow::bus::{FrameQueue, Movement};
use milliglow::{Level, Light};

use super::recipes::Recipes;
use super::seen::{BusSeen, FrameSeen, Heard, shown};
use super::{Played, begin_us, steps};
use crate::description::{Bus, ControlGear, Description, Fade, LevelChoice, light};
use crate::run::course::{Course, Leg};

/// Frames that wait for their control step at the most.
const QUEUED: usize = 16;

/// Data register 0, and the colour commands of device type 8 (from memory, as the core has them).
const REGISTER_0: u16 = 0xA300;
const REGISTER_1: u16 = 0xC300;
const COLOUR_NEXT: u16 = 0xC108;
const SET_MIREK: u8 = 0xE7;

/// A gear as the luminaire's file sets it up: by the frames that would do it.
pub(crate) fn configured(description: &Description, bus: &Bus, set: &ControlGear) -> Gear {
    let mut gear = fresh(description, bus, set);
    let mut at_ms = 0;
    let mut send = |frame: u16| {
        at_ms += 20;
        let _ = gear.receive(frame, at_ms);
    };
    for (number, scene) in set.scenes.iter().map(|scene| (scene.number, scene)) {
        if let Some(mirek) = scene.mirek {
            let [high, low] = mirek.to_be_bytes();
            send(REGISTER_0 | u16::from(low));
            send(REGISTER_1 | u16::from(high));
            send(COLOUR_NEXT);
            send(0xFF00 | u16::from(SET_MIREK));
        }
        store(&mut send, 0x40 | number, scene.level);
    }
    for &group in &set.groups {
        store(&mut send, 0x60 | group, 0);
    }
    store(&mut send, 0x2A, set.maximum);
    store(&mut send, 0x2B, set.minimum);
    store(&mut send, 0x2C, set.system_failure_level);
    store(&mut send, 0x2D, set.power_on_level);
    store(&mut send, 0x2E, set.fade_time);
    store(&mut send, 0x2F, set.fade_rate);
    store(&mut send, 0x30, set.extended_fade_time);
    if let Some(short) = set.short_address {
        store(&mut send, 0x80, short << 1 | 1);
    }
    // What was set up stays; what else the frames did to the gear does not.
    let mut started = fresh(description, bus, set);
    started.restore(gear.settings());
    started
}

/// A gear as it comes: nothing stored.
pub(crate) fn fresh(description: &Description, bus: &Bus, set: &ControlGear) -> Gear {
    let ends = [bus.palette.first(), bus.palette.last()];
    let [coolest, warmest] = ends.map(|end| end.map_or(0, |prepared| prepared.mirek));
    let lowest = description.requirements.lowest_light;
    let lowest = description.operating.lowest_light.max(lowest);
    Gear::new(&Configuration {
        curve: set.curve,
        lowest: Light::from_bits(light(lowest).to_bits()),
        control_hz: description.control_hz as u16,
        soft_start_tenths: (set.soft_start_s * 10.0).round() as u16,
        mirek: [coolest, warmest],
    })
    .expect("a validated control rate")
}

/// The value into the register, then the command twice, to all.
fn store(send: &mut impl FnMut(u16), command: u8, value: u8) {
    send(REGISTER_0 | u16::from(value));
    send(0xFF00 | u16::from(command));
    send(0xFF00 | u16::from(command));
}

pub(super) fn play(description: &Description, bus: &Bus, set: &ControlGear) -> Played {
    let mut gear = configured(description, bus, set);
    let mut legs = Legs::new(description, bus);
    let queue = FrameQueue::<QUEUED>::new();
    let mut seen: Vec<FrameSeen> = Vec::new();
    let (mut waiting, mut taken) = (bus.frames.iter().peekable(), 0);
    for step in 0..steps(description, bus.seconds) {
        let now_us = begin_us(step, description.control_hz);
        let before = gear.level();
        let mut movement = (step == 0).then(|| gear.power_on()).flatten();
        while let Some(frame) = waiting.next_if(|frame| frame.at_us <= now_us) {
            seen.push(FrameSeen {
                at_s: frame.at_us as f64 / 1e6,
                text: shown(&frame.bytes),
                heard: Heard::Lost,
                level: None,
                carried_out: None,
                dead_time_s: None,
            });
            let index = seen.len() - 1;
            match frame.bytes[..] {
                [first, second] => {
                    let at_ms = (frame.at_us / 1_000) as u32;
                    if !queue.push(u16::from_be_bytes([first, second]), at_ms) {
                        seen[index].heard = Heard::Passed;
                    }
                }
                _ => movement = moved(gear.bus_failed(), &mut seen[index], step).or(movement),
            }
        }
        if let Some((frame, at_ms)) = queue.pop() {
            while matches!(seen[taken].heard, Heard::Passed) || seen[taken].text == "down" {
                taken += 1;
            }
            let entry = &mut seen[taken];
            taken += 1;
            entry.heard = heard(&gear, frame);
            let answered = gear.receive(frame, at_ms);
            movement = moved(answered.movement, entry, step).or(movement);
        }
        if let Some(off) = gear.control_step() {
            movement = Some(off);
        }
        legs.step(before, movement);
    }
    let counts = gear.counts();
    legs.played(BusSeen {
        frames: seen,
        interval_s: None,
        counts: vec![
            ("frames taken", counts.taken.into()),
            ("frames for others", counts.others.into()),
            ("frames unknown", counts.unknown.into()),
            ("commands that came once", counts.single.into()),
            ("queue overflows", queue.overflows()),
        ],
        stream_hash: 0,
    })
}

/// Whether a frame is for the gear, told by what it counts.
fn heard(gear: &Gear, frame: u16) -> Heard {
    let mut asked = gear.clone();
    let before = asked.counts();
    let _ = asked.receive(frame, 0);
    let after = asked.counts();
    let is_taken = after.taken > before.taken && after.unknown == before.unknown;
    match Frame::decode(frame) {
        Frame::Reserved => Heard::Passed,
        _ if is_taken => Heard::Taken,
        _ => Heard::Passed,
    }
}

fn moved(movement: Option<Movement>, entry: &mut FrameSeen, step: u32) -> Option<Movement> {
    let movement = movement?;
    if entry.text != "down" {
        entry.heard = Heard::Moved;
    }
    entry.level = Some(movement.level.to_bits());
    entry.carried_out = Some(step);
    Some(movement)
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
