//! The core's receiver of a description, for any number of values.

use milliglow::bus::Colour;
use milliglow::bus::dmx512::{Configuration, Counts, OnLoss, Role, Row, Slots, Width};
use milliglow::{Level, Share};

use crate::description::{Bus, Description, Receiver, Slot, SlotRole};

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
            SlotRole::X => Role::X,
            SlotRole::Y => Role::Y,
        },
    }
}
