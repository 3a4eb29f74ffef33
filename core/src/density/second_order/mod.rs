//! The second-order modulator, one bit.

mod edges;
mod words;

use super::{Decision, Density, Edge, fill_words, waking_charge};
use edges::Loops;
use words::Words;

/// Second order, one bit, for the middle of the range.
///
/// With errors e1, e2 of the last two ticks a tick is 1 when `x + 2 e1 - e2` is at least half: noise falls by 15 dB an
/// octave towards low frequencies instead of 9. **Deep down it is worse than first order**: at 0.1 % the ones can come in
/// pairs (from some states they do, from others not), so that the lowest strong line halves.
///
/// *Input range*: densities of 1/4096 to 4095/4096; beyond them, and should a rapidly changing density drive the second
/// sum beyond 2^28, it goes on as first order with the charge kept. *Rounding*: it takes 16 bits of density at a time
/// and carries the rest, so that the mean is exact. *Bound*: at a steady density the ones since the start stay within
/// 1.5 of the densities' sum; a sudden change of density swings by up to a hundred pulses until the sum of the charge
/// has settled, and then owes nothing. *State*: 16 bytes. *Cost*: a tick takes 8 instructions; in words about 13 cycles of a
/// Cortex-M0, 60 with edges, and 110 while a change of density or of row settles.
#[derive(Clone, Debug)]
pub struct SecondOrder {
    /// Pulses owed in units of 2^-16: the densities' sum less the ones, e1 - e2.
    charge: i32,
    /// The sum of the charge, e1.
    sum: i32,
    /// The part of the density below 2^-16, carried from tick to tick.
    rest: u16,
    /// Whether the last decision was a one.
    lit: bool,
    /// Whole decisions owed beside the charge, after a change of row.
    owed: i32,
}

/// What a modulator carries from one decision to the next while it shapes, for other code that goes on from there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shaping {
    /// Pulses owed in units of 2^-32.
    pub charge: i64,
    /// The sum of the charge in units of 2^-16.
    pub sum: i32,
    /// Whether the last decision was a one.
    pub lit: bool,
}

impl Shaping {
    /// From a sum and a charge nearer to 0 than these, in units of 2^-16, nothing strays within 32 decisions.
    pub const NEAR: u32 = NEAR;
    /// Of the charge.
    pub const CALM: u32 = CALM;
}

const PULSE: i32 = 1 << 16;
const LOWEST: u32 = 1 << 20;
const HIGHEST: u32 = u32::MAX - (LOWEST - 1);
/// Within the input range the sum stays below 2^27 at a steady density, by the bound of Hein and Zakhor 1993.
const STRAYED: u32 = 1 << 28;
/// From sums and charges below these the sum does not stray within 32 ticks, as a tick moves the charge by at most a pulse.
const NEAR: u32 = 1 << 27;
const CALM: u32 = 1 << 20;

impl SecondOrder {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse; half (2^31) starts without error.
    #[must_use]
    pub const fn new(phase: u32) -> Self {
        Self {
            charge: (phase >> 16) as i32 - PULSE / 2,
            sum: 0,
            rest: 0,
            lit: false,
            owed: 0,
        }
    }

    /// The next tick.
    #[must_use]
    pub fn next_bit(&mut self, density: Density) -> bool {
        match density {
            Density::NONE => false,
            Density::FULL => true,
            _ => self.decide(density, Edge::NONE),
        }
    }

    /// What it carries, if its next decisions at a density are shaped: none beyond the input range, while whole decisions
    /// are owed, and near where it would go on as first order.
    #[must_use]
    pub const fn shaping(&self, density: Density) -> Option<Shaping> {
        if !self.shapes(density) {
            return None;
        }
        Some(Shaping {
            charge: self.charge(),
            sum: self.sum,
            lit: self.lit,
        })
    }

    /// Whether the next 32 decisions are shaped.
    const fn shapes(&self, density: Density) -> bool {
        self.owed == 0 && in_range(density) && self.is_calm()
    }

    fn decide(&mut self, density: Density, edge: Edge) -> bool {
        let input = self.input(density);
        let one = if self.owed == 0 {
            self.shape(density, input)
        } else {
            self.repay(input)
        };
        if one && !self.lit {
            self.book(edge);
        }
        self.lit = one;
        one
    }

    /// The next few decisions, the earliest the highest of the lowest bits.
    fn next_few(&mut self, density: Density, edge: Edge, count: u32) -> u32 {
        if !self.shapes(density) {
            return (0..count).fold(0, |few, _| {
                (few << 1) | u32::from(self.decide(density, edge))
            });
        }
        if edge == Edge::NONE {
            self.shape_few(density, count)
        } else {
            self.shape_and_book_few(density, edge, count)
        }
    }

    /// The same as one by one while nothing strays, nothing is owed and edges are ideal.
    fn shape_few(&mut self, density: Density, count: u32) -> u32 {
        let mut loops = Words::of(self, density);
        for _ in 0..count {
            loops = loops.tick();
        }
        let few = loops.leave(self, density, count);
        self.lit = few & 1 == 1;
        few & (u32::MAX >> (32 - count))
    }

    /// 32 of them.
    #[inline(always)]
    fn shape_32(&mut self, density: Density) -> u32 {
        let mut loops = Words::of(self, density);
        for _ in 0..4 {
            loops = loops.tick_8();
        }
        loops.leave(self, density, 32)
    }

    const fn is_calm(&self) -> bool {
        let (sum, charge) = (
            self.sum.wrapping_add_unsigned(NEAR),
            self.charge.wrapping_add_unsigned(CALM),
        );
        sum.cast_unsigned() < 2 * NEAR && charge.cast_unsigned() < 2 * CALM
    }

    /// A decision a tick and ideal edges, nothing owed, within the input range.
    #[inline(never)]
    fn fill_ticks(&mut self, density: Density, words: &mut [u32]) {
        for word in &mut *words {
            *word = if self.is_calm() {
                self.shape_32(density)
            } else {
                self.next_few(density, Edge::NONE, 32)
            };
        }
        self.lit = words.last().map_or(self.lit, |word| word & 1 == 1);
    }

    /// The same with edges.
    #[inline(never)]
    fn shape_and_book_few(&mut self, density: Density, edge: Edge, count: u32) -> u32 {
        let mut loops = Loops::of(self);
        let (step, edge) = (Loops::step(density), Loops::edge(edge));
        let mut few = self.lit.into();
        for _ in 0..count {
            few = loops.tick(step, edge, few);
        }
        loops.leave(self);
        self.lit = few & 1 == 1;
        few & (u32::MAX >> (32 - count))
    }

    fn shape(&mut self, density: Density, input: i32) -> bool {
        let one = input + self.charge + self.sum >= PULSE / 2;
        self.charge += if one { input - PULSE } else { input };
        self.sum = if in_range(density) && self.sum.unsigned_abs() < STRAYED {
            self.sum + self.charge
        } else {
            0
        };
        one
    }

    /// Ones, or zeros, until nothing whole is owed.
    const fn repay(&mut self, input: i32) -> bool {
        self.charge += input;
        if self.charge >= PULSE / 2 {
            self.charge -= PULSE;
            self.owed = self.owed.saturating_add(1);
        }
        let one = self.owed > 0;
        if one {
            self.owed -= 1;
        }
        one
    }

    const fn book(&mut self, edge: Edge) {
        let charge = self.rest as i64 + edge.charge();
        self.rest = charge as u16;
        self.charge += (charge >> 16) as i32;
    }

    /// Sixteen bits of the density and the carry of the bits below.
    fn input(&mut self, density: Density) -> i32 {
        let (rest, carry) = self.rest.overflowing_add(density.to_bits() as u16);
        self.rest = rest;
        (density.to_bits() >> 16) as i32 + i32::from(carry)
    }

    /// The next ticks of a whole slice, 32 a word, the earliest in the most significant bit.
    pub fn fill(&mut self, density: Density, words: &mut [u32]) {
        self.fill_as(density, Decision::PLAIN, words);
    }

    /// The same, in decisions of another length and with edges that take of the light.
    pub fn fill_as(&mut self, density: Density, decision: Decision, words: &mut [u32]) {
        if density == Density::FULL && !self.lit {
            self.book(decision.edge);
        }
        if decision == Decision::PLAIN && self.owed == 0 && in_range(density) {
            return self.fill_ticks(density, words);
        }
        let (count, stretch) = (decision.stretch.decisions_a_word(), decision.stretch);
        fill_words(density, words, || {
            stretch.expand(self.next_few(density, decision.edge, count))
        });
        match density {
            Density::NONE => self.lit = false,
            Density::FULL => self.lit = true,
            _ => {}
        }
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse; a phase, 0 to 2^32 - 1 for 0 to 1 pulse, puts the
    /// first pulse off by at most that part of the time between pulses. Charge left from before is dropped; the ones then
    /// lead the densities' sum by at most one and a half pulses.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        if let Some(charge) = waking_charge(density, phase) {
            self.charge = charge.div_ceil(PULSE as u32) as i32 - PULSE / 2;
            self.sum = 0;
            self.owed = 0;
        }
    }

    /// In units of 2^-32 decisions.
    pub(super) const fn charge(&self) -> i64 {
        ((self.owed as i64) << 32) + ((self.charge as i64) << 16) + self.rest as i64
    }

    pub(super) const fn set_charge(&mut self, charge: i64) {
        let owed = charge.saturating_add(1 << 31) >> 32;
        self.owed = owed as i32;
        self.charge = (charge.wrapping_sub(owed << 32) >> 16) as i32;
        self.rest = charge as u16;
        self.sum = 0;
    }
}

const fn in_range(density: Density) -> bool {
    density.to_bits() >= LOWEST && density.to_bits() <= HIGHEST
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_at_once_are_those_one_by_one() {
        let mut random = 1_u32;
        let mut next = || {
            random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            random ^ random.rotate_left(16)
        };
        let mut few = SecondOrder::new(7);
        let mut single = few.clone();
        for turn in 0..20_000 {
            let density = Density::from_bits(if turn % 3 == 0 {
                next() >> (next() % 32)
            } else {
                next()
            });
            let edge =
                Edge::from_bits(next().cast_signed() >> (1 + next() % 4)).unwrap_or_default();
            let (edge, count) = (
                if turn % 2 == 0 { edge } else { Edge::NONE },
                1 + next() % 32,
            );
            for _ in 0..next() % 20 {
                let expected = (0..count).fold(0, |few, _| {
                    few << 1 | u32::from(single.decide(density, edge))
                });
                assert_eq!(few.next_few(density, edge, count), expected, "{turn}");
                assert_eq!(
                    (few.charge(), few.sum, few.lit),
                    (single.charge(), single.sum, single.lit)
                );
            }
        }
    }
}
