//! A word of decisions at a time where edges are ideal.

use super::{PULSE, SecondOrder};
use crate::density::Density;
use crate::density::first_order::tick_32;

/// Both sums while edges are ideal, and a word.
///
/// What the bits of the density below 2^-16 carry is a first-order stream of theirs, drawn beforehand: as the word's bits leave it at the top, into
/// the charge, decisions enter at the bottom, a zero as 1.
#[derive(Clone, Copy)]
pub(super) struct Words {
    word: u32,
    charge: u32,
    sum: i32,
    /// What a tick adds if it is a one.
    step: u32,
}

impl Words {
    #[inline(always)]
    pub(super) const fn of(state: &SecondOrder, density: Density) -> Self {
        let rest = (state.rest as u32) << 16;
        Self {
            word: (tick_32(rest, density.to_bits() << 16) >> 32) as u32,
            charge: state.charge.cast_unsigned(),
            sum: state.sum.wrapping_add(PULSE / 2),
            step: (density.to_bits() >> 16).wrapping_sub(PULSE as u32),
        }
    }

    /// An addition and one with its carry, then the decision.
    #[inline(always)]
    pub(super) const fn tick(self) -> Self {
        let both = (self.charge as u64) << 32 | self.word as u64;
        let both = both.wrapping_add((self.step as u64) << 32 | self.word as u64);
        let charge = (both >> 32) as u32;
        let sum = self.sum.wrapping_add(charge.cast_signed());
        let zero = sum.cast_unsigned() >> 31;
        let back = zero << 16;
        Self {
            word: (both as u32).wrapping_add(zero),
            charge: charge.wrapping_add(back),
            sum: sum.wrapping_add_unsigned(back),
            step: self.step,
        }
    }

    #[inline(always)]
    pub(super) const fn tick_8(self) -> Self {
        let four = self.tick().tick().tick().tick();
        four.tick().tick().tick().tick()
    }

    /// The decisions, ones as 1.
    #[inline(always)]
    pub(super) const fn leave(self, state: &mut SecondOrder, density: Density, ticks: u32) -> u32 {
        let below = density.to_bits().wrapping_mul(ticks);
        state.rest = state.rest.wrapping_add(below as u16);
        state.charge = self.charge.cast_signed();
        state.sum = self.sum.wrapping_sub(PULSE / 2);
        !self.word
    }
}
