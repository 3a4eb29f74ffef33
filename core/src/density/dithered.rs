//! First order with dither: idle tones of the middle of the range become noise.

use core::num::NonZeroU8;

use super::{Decision, Density, Edge, NoiseSource, fill_words, waking_charge};
use crate::Error;

/// The width of an evenly distributed dither: 2^-shift quantiser steps, shift 0 to 8.
///
/// One step wide (shift 0) makes the mean of the error independent of the density (Lipshitz, Wannamaker and Vanderkooy
/// 1992; wording from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct DitherWidth {
    /// The shift and 1.
    above_shift: NonZeroU8,
}

impl DitherWidth {
    /// One quantiser step.
    pub const ONE_STEP: Self = Self {
        above_shift: NonZeroU8::MIN,
    };

    /// 2^-`shift` steps.
    ///
    /// # Errors
    /// [`Error::DitherWidth`] for a shift above 8.
    pub const fn new(shift: u8) -> Result<Self, Error> {
        if shift > 8 {
            Err(Error::DitherWidth)
        } else {
            Ok(Self {
                above_shift: NonZeroU8::MIN.saturating_add(shift),
            })
        }
    }

    const fn shift(self) -> u32 {
        self.above_shift.get() as u32 - 1
    }

    /// A number of a noise source, spread evenly over this width about 0, in units of 2^-32 steps.
    pub(crate) const fn of(self, noise: u32) -> i32 {
        (noise ^ 0x8000_0000) as i32 >> self.shift()
    }
}

/// First order whose threshold moves at random from tick to tick. The mean stays that of the density.
///
/// Off by default, offered above a density of 5 %: at 0.1 % and a 1 MHz tick the light's noise between 0.7 and 200 Hz
/// grows from 1.1e-4 to 1.2e-2 of the mean (RMS), and the main line at density x tick rate stays at 1.97 of 2.
/// *Bound*: the ones since the start stay within one and a half of the densities' sum. *State*: 12 bytes.
/// *Cost*: a tick takes a step of the noise, a 64-bit addition and a comparison: on a PC about twice that of
/// [`FirstOrder`](super::FirstOrder) (`cargo bench -p milliglow-benches -- word`).
#[derive(Clone, Debug)]
pub struct Dithered {
    /// Charge carried less half a decision, in units of 2^-32 decisions and whole: -1 to 1 but after a change of row.
    part: u32,
    whole: i32,
    width: DitherWidth,
    /// Whether the last decision was a one.
    lit: bool,
}

const PULSE: i64 = 1 << 32;
const HALF: i64 = PULSE / 2;

impl Dithered {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse.
    #[must_use]
    pub const fn new(width: DitherWidth, phase: u32) -> Self {
        let mut made = Self {
            part: 0,
            whole: 0,
            width,
            lit: false,
        };
        made.set_charge(phase as i64 - HALF);
        made
    }

    /// The next tick.
    #[must_use]
    pub fn next_bit(&mut self, density: Density, noise: &mut impl NoiseSource) -> bool {
        match density {
            Density::NONE => false,
            Density::FULL => true,
            _ => self.next_few(density, Edge::NONE, 1, noise) == 1,
        }
    }

    /// The next few decisions, the earliest the highest of the lowest bits.
    #[inline(always)]
    fn next_few(
        &mut self,
        density: Density,
        edge: Edge,
        count: u32,
        noise: &mut impl NoiseSource,
    ) -> u32 {
        let mut charge = self.charge();
        let few = (0..count).fold(u32::from(self.lit), |few, _| {
            charge += i64::from(density.to_bits());
            let over = charge + i64::from(self.width.of(noise.next())) - HALF;
            let zero = (over >> 32).cast_unsigned() as u32 >> 31;
            charge -= i64::from(zero ^ 1) << 32;
            if few & 1 < zero ^ 1 {
                charge += edge.charge();
            }
            (few << 1) | (zero ^ 1)
        });
        self.set_charge(charge);
        self.lit = few & 1 == 1;
        few & (u32::MAX >> (32 - count))
    }

    /// The next ticks of a whole slice, 32 a word, the earliest in the most significant bit.
    pub fn fill(&mut self, density: Density, words: &mut [u32], noise: &mut impl NoiseSource) {
        self.fill_as(density, Decision::PLAIN, words, noise);
    }

    /// The same, in decisions of another length and with edges that take of the light.
    pub fn fill_as(
        &mut self,
        density: Density,
        decision: Decision,
        words: &mut [u32],
        noise: &mut impl NoiseSource,
    ) {
        if density == Density::FULL && !self.lit {
            self.set_charge(self.charge() + decision.edge.charge());
        }
        let Decision { stretch, edge } = decision;
        let count = stretch.decisions_a_word();
        fill_words(density, words, || {
            stretch.expand(self.next_few(density, edge, count, noise))
        });
        match density {
            Density::NONE => self.lit = false,
            Density::FULL => self.lit = true,
            _ => {}
        }
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse; a phase, 0 to 2^32 - 1 for 0 to 1 pulse, puts the
    /// first pulse off by at most that part of the time between pulses. Charge left from before is dropped; the ones then
    /// lead the densities' sum by at most two pulses.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        if let Some(charge) = waking_charge(density, phase) {
            // Whatever the dither does to the threshold, this much is over it.
            self.set_charge(charge as i64 - HALF + (HALF >> self.width.shift()));
        }
    }

    pub(super) const fn charge(&self) -> i64 {
        ((self.whole as i64) << 32) | self.part as i64
    }

    pub(super) const fn set_charge(&mut self, charge: i64) {
        self.part = charge as u32;
        self.whole = (charge >> 32) as i32;
    }
}
