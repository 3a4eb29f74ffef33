//! A receiver of slots hears its log: a place for every control step.

use milliglow::bus::Colour;
use milliglow::bus::dmx512::{Configuration, Counts, OnLoss, Role, Row, Slots, Width};
use milliglow::{Level, Share};

use super::asked::{Asked, smoothed};
use super::recipes::Recipes;
use super::seen::{BusSeen, FrameSeen, Heard, shown};
use super::{Played, begin_us, steps};
use crate::description::{Bus, Description, Fade, LevelChoice, Receiver, Slot, SlotRole};
use crate::run::asked::core_shares;
use crate::run::colours::core_shares_at;
use crate::run::course::{Course, SmoothPlace, Track};

/// A core receiver whose number of values is known at run time.
pub(crate) trait Receives {
    /// A packet; whether it was taken.
    fn packet(&mut self, packet: &[u8], at_us: u32) -> bool;
    fn control_step(&mut self);
    fn level(&self) -> Level;
    fn colour(&self) -> Option<Colour>;
    /// The shares of as many channels as there can be.
    fn shares(&self) -> [Share; 16];
    fn is_lost(&self) -> bool;
    fn interval_us(&self) -> u32;
    fn counts(&self) -> Counts;
}

impl<const N: usize> Receives for Slots<N> {
    fn packet(&mut self, packet: &[u8], at_us: u32) -> bool {
        Self::packet(self, packet, at_us).is_ok()
    }

    fn control_step(&mut self) {
        Self::control_step(self);
    }

    fn level(&self) -> Level {
        Self::level(self)
    }

    fn colour(&self) -> Option<Colour> {
        Self::colour(self)
    }

    fn shares(&self) -> [Share; 16] {
        *self.recipe().shares()
    }

    fn is_lost(&self) -> bool {
        Self::is_lost(self)
    }

    fn interval_us(&self) -> u32 {
        Self::interval_us(self)
    }

    fn counts(&self) -> Counts {
        Self::counts(self)
    }
}

/// The core's receiver of a description.
pub(crate) fn receiver(description: &Description, bus: &Bus, set: &Receiver) -> Box<dyn Receives> {
    macro_rules! of_rows {
        ($($n:literal)*) => {
            match set.slots.len() {
                $($n => sized::<$n>(description, bus, set),)*
                n => unreachable!("a receiver has 1 to 16 values, not {n}"),
            }
        };
    }
    of_rows!(1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16)
}

fn sized<const N: usize>(
    description: &Description,
    bus: &Bus,
    set: &Receiver,
) -> Box<dyn Receives> {
    let of = |part: f64| (part * 65_535.0).round() as u16;
    let on_loss = match set.loss_fade_s {
        None => OnLoss::Hold,
        Some(seconds) => OnLoss::Fade {
            values: std::array::from_fn(|k| of(set.slots[k].loss)),
            tenths: (seconds * 10.0).round() as u16,
        },
    };
    let configuration = Configuration::<N> {
        rows: std::array::from_fn(|k| row(&set.slots[k], bus)),
        start: std::array::from_fn(|k| of(set.slots[k].start)),
        control_hz: description.control_hz as u16,
        creep_ms: set.creep_ms,
        loss_ms: set.loss_ms,
        on_loss,
    };
    Box::new(Slots::new(&configuration).expect("validated slots"))
}

fn row(slot: &Slot, bus: &Bus) -> Row {
    let ends = [bus.palette.first(), bus.palette.last()];
    let [coolest, warmest] = ends.map(|end| end.map_or(0, |prepared| prepared.mirek));
    Row {
        slot: slot.slot,
        width: if slot.is_fine {
            Width::CoarseFine
        } else {
            Width::Coarse
        },
        role: match slot.role {
            SlotRole::Level => Role::Level,
            SlotRole::Channel(channel) => Role::Channel(channel as u8),
            SlotRole::Mirek => Role::Mirek { coolest, warmest },
        },
    }
}

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
fn asked_level(packet: &[u8], slots: &[Slot]) -> Option<f64> {
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
    let mut receiver = receiver(description, bus, set);
    let meaning = Meaning::new(description, bus, set);
    let mut track = Track::default();
    let mut asked = Asked::new(f64::from(description.control_hz));
    let mut seen: Vec<FrameSeen> = Vec::new();
    let mut waiting = bus.frames.iter().peekable();
    let mut before: Option<&[u8]> = None;
    let mut lost = Vec::new();
    for step in 0..steps(description, bus.seconds) {
        let now_us = begin_us(step, description.control_hz);
        while let Some(frame) = waiting.next_if(|frame| frame.at_us <= now_us) {
            let is_taken = receiver.packet(&frame.bytes, frame.at_us as u32);
            let is_new = is_taken && before != Some(&frame.bytes);
            let level = asked_level(&frame.bytes, &set.slots).filter(|_| is_taken);
            if let Some(level) = level {
                asked.take(step, level);
            }
            if is_taken {
                before = Some(&frame.bytes);
            }
            seen.push(FrameSeen {
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
        receiver.control_step();
        lost.push(receiver.is_lost());
        keep(
            &mut track,
            description,
            receiver.level(),
            meaning.shares(&*receiver),
        );
    }
    let window = f64::from(description.control_hz).round() as usize;
    track.smooth = smoothed(&track.smooth, window);
    track.is_bent = asked.bends(track.levels.len());
    let bent = track.is_bent.iter_mut().zip(lost);
    bent.for_each(|(is_bent, is_lost)| *is_bent |= is_lost);
    let counts = receiver.counts();
    Played {
        description: scripted(description, bus),
        course: Course::Track(track),
        seen: BusSeen {
            frames: seen,
            interval_s: Some(f64::from(receiver.interval_us()) / 1e6),
            counts: vec![
                ("packets taken", counts.taken.into()),
                ("of them too short", counts.short.into()),
                ("packets of another START code", counts.foreign.into()),
                ("packets refused", counts.refused.into()),
                ("losses of data", counts.losses.into()),
            ],
            stream_hash: 0,
        },
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
        seconds: bus.seconds,
    };
    Description {
        script: vec![fade],
        ..description.clone()
    }
}
