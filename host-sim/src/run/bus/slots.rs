//! A receiver of slots hears its log: a place for every control step.

use milliglow::{Level, Share};

use super::asked::{Asked, smoothed};
use super::receives::{Receives, receiver};
use super::recipes::Recipes;
use super::seen::{BusSeen, FrameSeen, Heard, shown};
use super::{Played, begin_us, steps};
use crate::description::{Bus, BusFrame, Description, Fade, LevelChoice, Receiver, Slot, SlotRole};
use crate::run::asked::core_shares;
use crate::run::colours::core_shares_at;
use crate::run::course::{Course, SmoothPlace, Track};

/// What the values mean to the luminaire.
pub(crate) struct Meaning<'a> {
    description: &'a Description,
    bus: &'a Bus,
    recipes: Recipes<'a>,
    has_channels: bool,
}

impl<'a> Meaning<'a> {
    pub(crate) fn new(description: &'a Description, bus: &'a Bus, set: &Receiver) -> Self {
        let is_channel = |slot: &Slot| matches!(slot.role, SlotRole::Channel(_));
        Self {
            description,
            bus,
            recipes: Recipes::new(description, bus),
            has_channels: set.slots.iter().any(is_channel),
        }
    }

    /// The shares of channels in slots, else of the colour temperature in a slot, else of the recipe.
    pub(crate) fn shares(&self, receiver: &dyn Receives) -> Vec<Share> {
        if self.has_channels {
            return receiver.shares()[..self.description.channels.len()].to_vec();
        }
        let colour = receiver.colour();
        let coloured = colour.and_then(|colour| self.recipes.shares(colour));
        coloured.unwrap_or_else(|| {
            let recipe = &self.description.recipes[self.bus.recipe];
            if recipe.follows_level() {
                core_shares_at(recipe, receiver.level())
            } else {
                core_shares(&recipe.shares)
            }
        })
    }
}

/// The Level that a packet asks for, 0 to 65 535; where no slot holds one, the mean of the channels'.
pub(crate) fn asked_level(packet: &[u8], slots: &[Slot]) -> Option<f64> {
    let value = |slot: &Slot| {
        let first = usize::from(slot.slot);
        let coarse = *packet.get(first)?;
        let fine = if slot.is_fine {
            *packet.get(first + 1)?
        } else {
            coarse
        };
        Some(f64::from(u16::from_be_bytes([coarse, fine])))
    };
    let of = |wanted: fn(&SlotRole) -> bool| {
        let slots = slots.iter().filter(|slot| wanted(&slot.role));
        slots.filter_map(value).collect::<Vec<_>>()
    };
    let levels = of(|role| *role == SlotRole::Level);
    let levels = if levels.is_empty() {
        of(|role| matches!(role, SlotRole::Channel(_)))
    } else {
        levels
    };
    (!levels.is_empty()).then(|| levels.iter().sum::<f64>() / levels.len() as f64)
}

pub(super) fn play(description: &Description, bus: &Bus, set: &Receiver) -> Played {
    let mut hearing = Hearing {
        set,
        description,
        receiver: receiver(description, bus, set),
        meaning: Meaning::new(description, bus, set),
        asked: Asked::new(f64::from(description.control_hz)),
        track: Track::default(),
        seen: Vec::new(),
        before: None,
        lost: Vec::new(),
    };
    let mut waiting = bus.frames.iter().peekable();
    for step in 0..steps(description, bus.seconds) {
        let now_us = begin_us(step, description.control_hz);
        while let Some(frame) = waiting.next_if(|frame| frame.at_us <= now_us) {
            hearing.comes(frame, step);
        }
        hearing.control_step();
    }
    let (track, seen) = hearing.end();
    Played {
        description: scripted(description, bus),
        course: Course::Track(track),
        seen,
    }
}

/// A receiver and what comes to it.
struct Hearing<'a> {
    set: &'a Receiver,
    description: &'a Description,
    receiver: Box<dyn Receives>,
    meaning: Meaning<'a>,
    asked: Asked,
    track: Track,
    seen: Vec<FrameSeen>,
    /// The last packet that was taken.
    before: Option<&'a [u8]>,
    /// Whether data are lost, a control step each.
    lost: Vec<bool>,
}

impl<'a> Hearing<'a> {
    fn comes(&mut self, frame: &'a BusFrame, step: u32) {
        let is_taken = self.receiver.packet(&frame.bytes, frame.at_us as u32);
        let is_new = is_taken && self.before != Some(&frame.bytes);
        let level = asked_level(&frame.bytes, &self.set.slots).filter(|_| is_taken);
        if let Some(level) = level {
            self.asked.take(step, level);
        }
        if is_taken {
            self.before = Some(&frame.bytes);
        }
        self.seen.push(FrameSeen {
            at_s: frame.at_us as f64 / 1e6,
            text: shown(&frame.bytes),
            heard: match (is_taken, is_new) {
                (true, true) => Heard::Moved,
                (true, false) => Heard::Taken,
                _ => Heard::Passed,
            },
            level: level.map(|level| level.round() as u16),
            carried_out: is_new.then_some(step),
            dead_time_s: None,
        });
    }

    fn control_step(&mut self) {
        self.receiver.control_step();
        self.lost.push(self.receiver.is_lost());
        let shares = self.meaning.shares(&*self.receiver);
        keep(
            &mut self.track,
            self.description,
            self.receiver.level(),
            shares,
        );
    }

    fn end(self) -> (Track, BusSeen) {
        let mut track = self.track;
        track.smooth = smoothed(&track.smooth, self.description.control_hz as usize);
        track.is_bent = self.asked.bends(track.levels.len());
        let bent = track.is_bent.iter_mut().zip(self.lost);
        bent.for_each(|(is_bent, is_lost)| *is_bent |= is_lost);
        let counts = self.receiver.counts();
        let seen = BusSeen {
            frames: self.seen,
            interval_s: Some(f64::from(self.receiver.interval_us()) / 1e6),
            counts: vec![
                ("packets taken", counts.taken.into()),
                ("of them too short", counts.short.into()),
                ("packets of another START code", counts.foreign.into()),
                ("packets refused", counts.refused.into()),
                ("losses of data", counts.losses.into()),
            ],
            stream_hash: 0,
        };
        (track, seen)
    }
}

/// The place of a control step, and where it is without steps as far as is known so far.
fn keep(track: &mut Track, description: &Description, level: Level, shares: Vec<Share>) {
    let fluxes = description.channels.iter().map(|channel| channel.flux_lm);
    let full_lm = fluxes
        .zip(&shares)
        .map(|(flux, share)| flux * f64::from(share.to_bits()) / 4_294_967_296.0)
        .sum();
    track.levels.push(level);
    track.smooth.push(SmoothPlace {
        level: level.to_bits().into(),
        full_lm,
    });
    let end = track.levels.len();
    match track.shares.last_mut() {
        Some((last, before)) if *before == shares => *last = end,
        _ => track.shares.push((end, shares)),
    }
}

/// Its one fade stands for the whole log.
fn scripted(description: &Description, bus: &Bus) -> Description {
    let fade = Fade {
        recipe: bus.recipe,
        level: LevelChoice::Level(0),
        through: Vec::new(),
        seconds: bus.seconds,
    };
    Description {
        script: vec![fade],
        ..description.clone()
    }
}
