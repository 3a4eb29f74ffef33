//! Shifts.

use super::ALU;
use crate::Machine;
use crate::bits::{field, register};

/// Value and carry out of a shift; the carry stays where nothing is shifted out.
type Shifted = (u32, bool);

pub(super) const fn left(value: u32, by: u32, carry: bool) -> Shifted {
    match by {
        0 => (value, carry),
        1..=31 => (value << by, value >> (32 - by) & 1 != 0),
        32 => (0, value & 1 != 0),
        _ => (0, false),
    }
}

pub(super) const fn right(value: u32, by: u32, carry: bool) -> Shifted {
    match by {
        0 => (value, carry),
        1..=31 => (value >> by, value >> (by - 1) & 1 != 0),
        32 => (0, value >> 31 != 0),
        _ => (0, false),
    }
}

pub(super) const fn right_signed(value: u32, by: u32, carry: bool) -> Shifted {
    match by {
        0 => (value, carry),
        1..=31 => ((value as i32 >> by) as u32, value >> (by - 1) & 1 != 0),
        _ => ((value as i32 >> 31) as u32, value >> 31 != 0),
    }
}

pub(super) const fn rotate(value: u32, by: u32, carry: bool) -> Shifted {
    if by == 0 {
        return (value, carry);
    }
    let rotated = value.rotate_right(by % 32);
    (rotated, rotated >> 31 != 0)
}

impl Machine {
    /// LSLS, LSRS and ASRS by a constant; the constant 0 means 32 but to the left.
    pub(super) fn shift_immediate(&mut self, first: u16) -> u32 {
        let (by, value) = (field(first, 6, 5), self.registers[register(first, 3)]);
        let down = if by == 0 { 32 } else { by };
        let shifted = match field(first, 11, 2) {
            0 => left(value, by, self.flags.c),
            1 => right(value, down, self.flags.c),
            _ => right_signed(value, down, self.flags.c),
        };
        self.keep_shifted(register(first, 0), shifted)
    }

    pub(super) const fn keep_shifted(&mut self, to: usize, (value, carry): Shifted) -> u32 {
        self.flags.c = carry;
        self.keep(to, value)
    }

    /// A result with its N and Z.
    pub(super) const fn keep(&mut self, to: usize, value: u32) -> u32 {
        self.set_nz(value);
        self.registers[to] = value;
        ALU
    }
}
