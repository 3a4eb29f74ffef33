//! The first-order modulator: an accumulator whose carry is the stream.

use super::{Density, waking_charge};

/// First order, one bit: the default.
///
/// *Properties*: gaps between ones differ by at most one tick; any window of W ticks holds the floor or the ceiling of
/// W x density ones; the ones since the start are the densities' sum, rounded down after the starting phase is added.
/// *State*: 4 bytes. *Cost*: a word takes 32 additions of 64 bits, nothing else.
/// *Interrupts*: the owner of the state may be an interrupt.
/// *Source*: the exact properties are those of Christoffel words (Morse and Hedlund 1940).
///
/// ```
/// use milliglow::density::{Density, FirstOrder};
/// let mut modulator = FirstOrder::new(0);
/// let word = modulator.next_word(Density::from_bits(1 << 29)); // an eighth
/// assert_eq!(word, 0x0101_0101);
/// ```
#[derive(Clone, Debug)]
pub struct FirstOrder {
    charge: u32,
}

impl FirstOrder {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse: give channels different ones so that their
    /// pulses do not coincide.
    #[must_use]
    pub const fn new(phase: u32) -> Self {
        Self { charge: phase }
    }

    /// The charge carried, 0 to 2^32 - 1 for 0 to 1 pulse: the starting phase of what comes next.
    #[must_use]
    pub const fn charge(&self) -> u32 {
        self.charge
    }

    /// The next tick.
    #[must_use]
    pub const fn next_bit(&mut self, density: Density) -> bool {
        if density.0 == u32::MAX {
            return true;
        }
        let (charge, one) = self.charge.overflowing_add(density.0);
        self.charge = charge;
        one
    }

    /// The next 32 ticks, the earliest in the most significant bit.
    #[must_use]
    pub const fn next_word(&mut self, density: Density) -> u32 {
        if density.0 == u32::MAX {
            return u32::MAX;
        }
        let ticked = tick_32(self.charge, density.0);
        self.charge = ticked as u32;
        (ticked >> 32) as u32
    }

    /// The next ticks of a whole slice, 32 a word.
    pub fn fill(&mut self, density: Density, words: &mut [u32]) {
        match density {
            Density::NONE => words.fill(0),
            Density::FULL => words.fill(u32::MAX),
            _ => words.fill_with(|| self.next_word(density)),
        }
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse instead of one up to 1 / density ticks later; a phase,
    /// 0 to 2^32 - 1 for 0 to 1 pulse, puts the first pulse off by that part of the time between pulses. Charge left
    /// from before is dropped; the ones then lead the densities' sum by less than a pulse.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        if let Some(charge) = waking_charge(density, phase) {
            self.charge = charge;
        }
    }
}

/// 32 ticks on a word (high half) and a charge (low half).
///
/// Out of line: compiled into a loop over words, the two halves leave their registers and each tick costs half as much again.
#[inline(never)]
const fn tick_32(charge: u32, density: u32) -> u64 {
    let mut both = charge as u64;
    both = tick_8(both, density);
    both = tick_8(both, density);
    both = tick_8(both, density);
    tick_8(both, density)
}

#[inline(always)]
const fn tick_8(mut both: u64, density: u32) -> u64 {
    both = tick(both, density);
    both = tick(both, density);
    both = tick(both, density);
    both = tick(both, density);
    both = tick(both, density);
    both = tick(both, density);
    both = tick(both, density);
    tick(both, density)
}

/// The carry of `charge + density` moves into the word as it doubles: two additions with carry.
#[inline(always)]
const fn tick(both: u64, density: u32) -> u64 {
    ((both >> 32 << 32) | density as u64).wrapping_add(both)
}
