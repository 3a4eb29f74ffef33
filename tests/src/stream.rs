//! Streams of bits, and how far their ones are from the sum of the densities.

use milliglow::density::{Density, FirstOrder, Lfsr32, Modulation, Modulator};

/// One pulse in the units in which charge is counted here, 2^-32 pulses.
pub const PULSE: i64 = 1 << 32;

/// What a density is worth a tick, in units of 2^-32 pulses; the largest value stands for 1.
pub fn exact(density: Density) -> i64 {
    if density == Density::FULL {
        PULSE
    } else {
        i64::from(density.to_bits())
    }
}

/// The ticks of words, the earliest first.
pub fn ticks(words: &[u32]) -> impl Iterator<Item = bool> {
    words
        .iter()
        .flat_map(|word| (0..32).rev().map(move |bit| word >> bit & 1 == 1))
}

/// The noise that dither tests draw from.
pub fn noise(seed: u32) -> Lfsr32 {
    Lfsr32::new(seed.max(1)).expect("not 0")
}

/// A modulator with its noise and the charge that it owes: the densities' sum less the ones since the start.
pub struct Ledger {
    modulator: Modulator,
    noise: Lfsr32,
    owed: i64,
}

impl Ledger {
    /// Owes nothing yet.
    pub fn new(modulation: Modulation, phase: u32, seed: u32) -> Self {
        Self {
            modulator: Modulator::new(modulation, phase),
            noise: noise(seed),
            owed: 0,
        }
    }

    /// The next ticks of a steady density.
    pub fn draw(&mut self, density: Density, words: usize) -> Vec<u32> {
        let mut drawn = vec![0; words];
        self.modulator.fill(density, &mut drawn, &mut self.noise);
        drawn
    }

    /// What is owed after each of the next ticks of a steady density, in units of 2^-32 pulses.
    pub fn owed(&mut self, density: Density, words: usize) -> Vec<i64> {
        let drawn = self.draw(density, words);
        ticks(&drawn)
            .map(|one| {
                self.owed += exact(density) - if one { PULSE } else { 0 };
                self.owed
            })
            .collect()
    }

    /// From black: see [`Modulator::wake`]. Nothing is owed from before.
    pub fn wake(&mut self, density: Density, phase: u32) {
        self.modulator.wake(density, phase);
        self.owed = 0;
    }
}

/// The next words of a first-order modulator.
pub fn first_order(modulator: &mut FirstOrder, density: Density, words: usize) -> Vec<u32> {
    let mut drawn = vec![0; words];
    modulator.fill(density, &mut drawn);
    drawn
}
