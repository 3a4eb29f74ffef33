//! The first-order modulator: an accumulator whose carry is the stream.

use super::flood::flood;
use super::{Decision, Density, Stretch, waking_charge};

/// First order, one bit: the default.
///
/// *Properties*: gaps between ones differ by at most one tick; any window of W ticks holds the floor or the ceiling of
/// W x density ones; the ones since the start are the densities' sum, rounded down after the starting phase is added.
/// *State*: 8 bytes. *Cost*: a word takes 32 additions of 64 bits, nothing else; on machines of 64 bits fills draw sixteen words side by side.
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
    /// Whole decisions owed beside the charge, after a change of row.
    owed: i32,
}

impl FirstOrder {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse: give channels different ones so that their
    /// pulses do not coincide.
    #[must_use]
    pub const fn new(phase: u32) -> Self {
        Self {
            charge: phase,
            owed: 0,
        }
    }

    /// The charge carried, 0 to 2^32 - 1 for 0 to 1 pulse: the starting phase of what comes next.
    #[must_use]
    pub const fn charge(&self) -> u32 {
        self.charge
    }

    /// Whole decisions owed beside the charge after a change of row: given, or left out if negative, at once.
    #[must_use]
    pub const fn owed(&self) -> i32 {
        self.owed
    }

    /// The next tick.
    #[must_use]
    pub const fn next_bit(&mut self, density: Density) -> bool {
        match density {
            Density::NONE => return false,
            Density::FULL => return true,
            _ => {}
        }
        let (charge, one) = self.charge.overflowing_add(density.0);
        self.charge = charge;
        if self.owed == 0 { one } else { self.repay(one) }
    }

    /// The next 32 ticks, the earliest in the most significant bit.
    #[must_use]
    pub const fn next_word(&mut self, density: Density) -> u32 {
        match density {
            Density::NONE => return 0,
            Density::FULL => return u32::MAX,
            _ => {}
        }
        let ticked = tick_32(self.charge, density.0);
        self.charge = ticked as u32;
        let word = (ticked >> 32) as u32;
        if self.owed == 0 {
            word
        } else {
            self.repay_all(word, 32)
        }
    }

    /// The next few decisions, the earliest the highest of the lowest bits: those of 32 that come first.
    fn next_few(&mut self, density: Density, count: u32) -> u32 {
        let few = (tick_32(self.charge, density.0) >> 32) as u32 >> (32 - count);
        self.skip(density, count);
        if self.owed == 0 {
            few
        } else {
            self.repay_all(few, count)
        }
    }

    /// The earliest zeros become ones, or ones zeros, until nothing whole is owed.
    const fn repay_all(&mut self, decisions: u32, count: u32) -> u32 {
        let mut repaid = 0;
        let mut k = count;
        while k > 0 {
            k -= 1;
            repaid = repaid << 1 | self.repay(decisions >> k & 1 != 0) as u32;
        }
        repaid
    }

    const fn repay(&mut self, one: bool) -> bool {
        let owed = self.owed.saturating_add(one as i32);
        self.owed = if owed > 0 { owed - 1 } else { owed };
        owed > 0
    }

    /// The next ticks of a whole slice, 32 a word.
    pub fn fill(&mut self, density: Density, words: &mut [u32]) {
        self.fill_as(density, Decision::PLAIN, words);
    }

    /// The same, in decisions of another length.
    pub fn fill_as(&mut self, density: Density, decision: Decision, words: &mut [u32]) {
        let stretch = decision.stretch;
        match (density, stretch) {
            (Density::NONE, _) => flood(words, 0),
            (Density::FULL, _) => flood(words, u32::MAX),
            (_, Stretch::One) if self.owed == 0 => self.fill_ticks(density, words),
            (_, Stretch::One) => words.fill_with(|| self.next_few(density, 32)),
            _ => {
                let rest = if self.owed == 0 {
                    self.fill_stretched(density, stretch, words)
                } else {
                    words
                };
                for words in rest.chunks_mut(stretch.ticks() as usize) {
                    let count = stretch.decisions_a_word() * words.len() as u32;
                    let decisions = self.next_few(density, count) << (32 - count);
                    stretch.expand_all(decisions, words);
                }
            }
        }
    }

    /// 32 decisions at a time, as many words as they last; what is left of the words is returned.
    fn fill_stretched<'w>(
        &mut self,
        density: Density,
        stretch: Stretch,
        words: &'w mut [u32],
    ) -> &'w mut [u32] {
        match stretch {
            Stretch::One => words,
            Stretch::Two => self.fill_chunks::<2>(density, Stretch::Two, words),
            Stretch::Four => self.fill_chunks::<4>(density, Stretch::Four, words),
            Stretch::Eight => self.fill_chunks::<8>(density, Stretch::Eight, words),
            Stretch::Sixteen => self.fill_chunks::<16>(density, Stretch::Sixteen, words),
        }
    }

    #[inline(always)]
    fn fill_chunks<'w, const TICKS: usize>(
        &mut self,
        density: Density,
        stretch: Stretch,
        words: &'w mut [u32],
    ) -> &'w mut [u32] {
        let (chunks, rest) = words.as_chunks_mut::<TICKS>();
        #[cfg(target_pointer_width = "64")]
        let chunks = self.expand_side_by_side(density, stretch, chunks);
        for chunk in chunks {
            let ticked = tick_32(self.charge, density.0);
            self.charge = ticked as u32;
            stretch.expand_all((ticked >> 32) as u32, chunk);
        }
        rest
    }

    /// A decision a tick, nothing owed, neither none nor full.
    #[inline(never)]
    pub(super) fn fill_ticks(&mut self, density: Density, words: &mut [u32]) {
        #[cfg(target_pointer_width = "64")]
        let words = self.fill_side_by_side(density, words);
        let next = |charge, word: &mut u32| {
            let ticked = tick_32(charge, density.0);
            *word = (ticked >> 32) as u32;
            ticked as u32
        };
        self.charge = words.iter_mut().fold(self.charge, next);
    }

    /// As many words as that pays for; what is left is returned.
    #[cfg(target_pointer_width = "64")]
    fn fill_side_by_side<'w>(&mut self, density: Density, words: &'w mut [u32]) -> &'w mut [u32] {
        let (charge, rest) = super::side_by_side::fill(self.charge, density.0, words);
        self.charge = charge;
        rest
    }

    /// The same for decisions that last several words of ticks, 32 of them a chunk; all chunks are drawn.
    #[cfg(target_pointer_width = "64")]
    fn expand_side_by_side<'w, const TICKS: usize>(
        &mut self,
        density: Density,
        stretch: Stretch,
        chunks: &'w mut [[u32; TICKS]],
    ) -> &'w mut [[u32; TICKS]] {
        for group in chunks.chunks_mut(super::side_by_side::LANES) {
            let mut decisions = [0; super::side_by_side::LANES];
            let drawn = decisions.get_mut(..group.len()).unwrap_or_default();
            self.fill_ticks(density, drawn);
            for (chunk, decisions) in group.iter_mut().zip(decisions) {
                stretch.expand_all(decisions, chunk);
            }
        }
        &mut []
    }

    /// The charge after so many decisions that are drawn in another way.
    pub(super) const fn skip(&mut self, density: Density, decisions: u32) {
        self.charge = self.charge.wrapping_add(density.0.wrapping_mul(decisions));
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse instead of one up to 1 / density ticks later; a phase,
    /// 0 to 2^32 - 1 for 0 to 1 pulse, puts the first pulse off by that part of the time between pulses. Charge left
    /// from before is dropped; the ones then lead the densities' sum by less than a pulse.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        if let Some(charge) = waking_charge(density, phase) {
            self.charge = charge;
            self.owed = 0;
        }
    }

    /// In units of 2^-32 decisions.
    pub(crate) const fn all_charge(&self) -> i64 {
        ((self.owed as i64) << 32) | self.charge as i64
    }

    pub(crate) const fn set_charge(&mut self, charge: i64) {
        self.charge = charge as u32;
        self.owed = (charge >> 32) as i32;
    }
}

/// 32 ticks on a word (high half) and a charge (low half).
///
/// Out of line: compiled into a loop over words, the two halves leave their registers and each tick costs half as much again.
#[inline(never)]
pub(super) const fn tick_32(charge: u32, density: u32) -> u64 {
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
