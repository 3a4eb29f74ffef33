//! Decisions one after the other where edges take of the light.

use super::{PULSE, SecondOrder};
use crate::density::{Density, Edge};

/// Both sums while decisions follow each other and edges take of the light.
pub(super) struct Loops {
    /// The charge in units of 2^-16 pulses, and of 2^-48 what is below.
    charge: i32,
    rest: u32,
    /// The sum, so that the sign of sum and charge is the decision.
    sum: i32,
}

/// A charge as the loop has it: in units of 2^-16 pulses, and of 2^-48 what is below.
#[derive(Clone, Copy)]
pub(super) struct Part(i32, u32);

impl Loops {
    pub(super) const fn of(state: &SecondOrder) -> Self {
        Self {
            charge: state.charge,
            rest: (state.rest as u32) << 16,
            sum: state.sum.wrapping_add(PULSE / 2),
        }
    }

    /// What a tick adds if it is a one.
    pub(super) const fn step(density: Density) -> Part {
        let bits = density.to_bits();
        Part((bits >> 16).cast_signed() - PULSE, bits << 16)
    }

    pub(super) const fn edge(edge: Edge) -> Part {
        Part((edge.charge() >> 16) as i32, (edge.charge() as u32) << 16)
    }

    #[inline(always)]
    const fn add(&mut self, Part(charge, rest): Part) {
        let (rest, carry) = self.rest.overflowing_add(rest);
        self.rest = rest;
        self.charge = self.charge.wrapping_add(charge).wrapping_add(carry as i32);
    }

    /// Decisions and the next one. Branches cost less than masks of 64 bits.
    #[inline(always)]
    pub(super) const fn tick(&mut self, step: Part, edge: Part, few: u32) -> u32 {
        self.add(step);
        self.sum = self.sum.wrapping_add(self.charge);
        if self.sum < 0 {
            self.charge = self.charge.wrapping_add(PULSE);
            self.sum = self.sum.wrapping_add(PULSE);
            return few << 1;
        }
        if few & 1 == 0 {
            self.add(edge);
        }
        few << 1 | 1
    }

    pub(super) const fn leave(self, state: &mut SecondOrder) {
        state.charge = self.charge;
        state.rest = (self.rest >> 16) as u16;
        state.sum = self.sum.wrapping_sub(PULSE / 2);
    }
}
