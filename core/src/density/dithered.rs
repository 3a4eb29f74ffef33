//! First order with dither: idle tones of the middle of the range become noise.

use super::{Density, NoiseSource, fill_bits, waking_charge};
use crate::Error;

/// The width of an evenly distributed dither: 2^-shift quantiser steps, shift 0 to 8.
///
/// One step wide (shift 0) makes the mean of the error independent of the density (Lipshitz, Wannamaker and Vanderkooy
/// 1992; wording from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct DitherWidth {
    shift: u8,
}

impl DitherWidth {
    /// One quantiser step.
    pub const ONE_STEP: Self = Self { shift: 0 };

    /// 2^-`shift` steps.
    ///
    /// # Errors
    /// [`Error::DitherWidth`] for a shift above 8.
    pub const fn new(shift: u8) -> Result<Self, Error> {
        if shift > 8 {
            Err(Error::DitherWidth)
        } else {
            Ok(Self { shift })
        }
    }
}

/// First order whose threshold moves at random from tick to tick. The mean stays that of the density.
///
/// Off by default, offered above a density of 5 %: at 0.1 % and a 1 MHz tick the light's noise between 0.7 and 200 Hz
/// grows from 1.1e-4 to 1.2e-2 of the mean (RMS), and the main line at density x tick rate stays at 1.97 of 2.
/// *Bound*: the ones since the start stay within one and a half of the densities' sum. *State*: 16 bytes.
/// *Cost*: a tick takes a step of the noise, a 64-bit addition and a comparison: on a PC about twice that of
/// [`FirstOrder`](super::FirstOrder) (`cargo bench -p milliglow-benches -- word`).
#[derive(Clone, Debug)]
pub struct Dithered {
    /// Charge carried less half a pulse, in units of 2^-32 pulses: -1 to 1.
    error: i64,
    width: DitherWidth,
}

const PULSE: i64 = 1 << 32;
const HALF: i64 = PULSE / 2;

impl Dithered {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse.
    #[must_use]
    pub const fn new(width: DitherWidth, phase: u32) -> Self {
        Self {
            error: phase as i64 - HALF,
            width,
        }
    }

    /// The next tick.
    #[must_use]
    pub fn next_bit(&mut self, density: Density, noise: &mut impl NoiseSource) -> bool {
        match density {
            Density::NONE => false,
            Density::FULL => true,
            _ => self.decide(density, noise),
        }
    }

    fn decide(&mut self, density: Density, noise: &mut impl NoiseSource) -> bool {
        let centred = (noise.next() ^ 0x8000_0000) as i32;
        self.error += i64::from(density.to_bits());
        let one = self.error + i64::from(centred >> self.width.shift) >= HALF;
        if one {
            self.error -= PULSE;
        }
        one
    }

    /// The next ticks of a whole slice, 32 a word, the earliest in the most significant bit.
    pub fn fill(&mut self, density: Density, words: &mut [u32], noise: &mut impl NoiseSource) {
        fill_bits(density, words, || self.decide(density, noise));
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse; a phase, 0 to 2^32 - 1 for 0 to 1 pulse, puts the
    /// first pulse off by at most that part of the time between pulses. Charge left from before is dropped; the ones then
    /// lead the densities' sum by at most two pulses.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        if let Some(charge) = waking_charge(density, phase) {
            // Whatever the dither does to the threshold, this much is over it.
            self.error = charge as i64 - HALF + (HALF >> self.width.shift);
        }
    }
}
