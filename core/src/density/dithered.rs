//! First order with dither: idle tones of the middle of the range become noise.

use core::num::NonZeroU8;

use super::first_order::tick_32;
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

    /// The same from its lowest value up, for one step: what carries with a part asks for a one.
    #[inline(always)]
    const fn over(self, noise: u32) -> u32 {
        self.of(noise).cast_unsigned() ^ 0x8000_0000
    }
}

/// First order whose threshold moves at random from tick to tick. The mean stays that of the density.
///
/// Off by default, offered above a density of 5 %: at 0.1 % and a 1 MHz tick the light's noise between 0.7 and 200 Hz
/// grows from 1.1e-4 to 1.2e-2 of the mean (RMS), and the main line at density x tick rate stays at 1.97 of 2.
/// *Bound*: the ones since the start, less what edges took, stay within one and a half of the densities' sum and what an edge
/// takes; none and full come at once, whatever is owed, and each may add what an edge takes. *State*: 12 bytes.
/// *Cost*: a tick takes a step of the noise and two additions of 64 bits; in words about 25 cycles of a Cortex-M0, 44 with edges.
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
        if edge == Edge::NONE && matches!(self.whole, -1 | 0) {
            return self.next_word(density, count, noise);
        }
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

    /// The same where edges are ideal and nothing whole is owed.
    ///
    /// With the densities' sum as whole pulses and a part, a decision asks for the whole ones, and for one more where part and dither carry. What
    /// was given ahead, none or one, goes from tick to tick as a carry goes through an addition: all ticks of a word at once.
    #[inline(always)]
    fn next_word(&mut self, density: Density, count: u32, noise: &mut impl NoiseSource) -> u32 {
        let whole = (tick_32(self.part, density.to_bits()) >> 32) as u32;
        let unused = 32 - count;
        let more = self.more(density, count, noise) << unused;
        let before = u32::from(self.whole != 0) << 31;
        let ahead = carries(more, !whole, before);
        let few = (whole ^ ahead ^ (ahead >> 1 | before)) >> unused;
        self.part = self
            .part
            .wrapping_add(density.to_bits().wrapping_mul(count));
        self.whole = -i32::from(ahead >> unused & 1 == 1);
        self.lit = few & 1 == 1;
        few
    }

    /// Where the part and the dither carry, a bit a tick from the highest down. Out of line, as within a loop it would lack registers.
    #[inline(never)]
    fn more(&self, density: Density, count: u32, noise: &mut impl NoiseSource) -> u32 {
        if self.width == DitherWidth::ONE_STEP {
            more(self.part, density, count, || noise.next())
        } else {
            more(self.part, density, count, || self.width.over(noise.next()))
        }
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

/// A bit that leaves the word as the last tick enters it stands for a count, which the compiler would unroll the loop by.
#[inline(always)]
fn more(mut part: u32, density: Density, count: u32, mut dither: impl FnMut() -> u32) -> u32 {
    let mut more = 1_u32.rotate_right(count);
    loop {
        part = part.wrapping_add(density.to_bits());
        let high = u64::from(more) << 32;
        let (both, is_last) = (high | u64::from(part)).overflowing_add(high | u64::from(dither()));
        more = (both >> 32) as u32;
        if is_last {
            return more;
        }
    }
}

/// The carries out of each bit of `a + b`, highest bit first, with one into the highest: in the time of five steps.
///
/// *Source*: parallel prefixes of generated and passed carries, Kogge and Stone 1973 (from memory).
const fn carries(a: u32, b: u32, into_highest: u32) -> u32 {
    let passed = a | b;
    let first = (a & b | passed & into_highest, passed);
    further(further(further(further(further(first, 1), 2), 4), 8), 16).0
}

/// Carries, and what passes them, over as many bits more.
#[inline(always)]
const fn further((carried, passed): (u32, u32), by: u32) -> (u32, u32) {
    (carried | passed & carried >> by, passed & passed >> by)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::density::Lfsr32;

    /// As its docs say, tick by tick.
    struct Plain(i64);

    impl Plain {
        fn next(&mut self, density: Density, width: DitherWidth, noise: &mut Lfsr32) -> u32 {
            self.0 += i64::from(density.to_bits());
            let one = self.0 + i64::from(width.of(noise.next())) >= HALF;
            self.0 -= i64::from(one) << 32;
            one.into()
        }
    }

    #[test]
    fn a_word_at_once_is_tick_by_tick() {
        for shift in 0..=8 {
            let width = DitherWidth::new(shift).expect("in range");
            let mut noise = Lfsr32::new(7).expect("a seed");
            let mut dithered = Dithered::new(width, 1 << 31 | 5);
            let mut plain = Plain(dithered.charge());
            let mut density = 1_u32;
            for turn in 0..4_000 {
                density = density.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let asked = Density::from_bits(density >> (turn % 11));
                let (count, mut other) = (1 + turn * 7 % 32, noise.clone());
                let word = dithered.next_few(asked, Edge::NONE, count, &mut noise);
                let expected =
                    (0..count).fold(0, |few, _| few << 1 | plain.next(asked, width, &mut other));
                assert_eq!(
                    (word, dithered.charge()),
                    (expected, plain.0),
                    "{shift} {turn}"
                );
            }
        }
    }
}
