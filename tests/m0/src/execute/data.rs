//! Arithmetic and logic within the registers.

use super::{ALU, BRANCH, shift};
use crate::bits::{field, register};
use crate::machine::{PC, SP};
use crate::{Fault, Machine};

impl Machine {
    /// ADDS and SUBS of a register and a register or a constant of three bits.
    pub(super) fn add_three(&mut self, first: u16) -> u32 {
        let (a, number) = (self.registers[register(first, 3)], register(first, 6));
        let is_constant = field(first, 10, 1) == 1;
        let b = if is_constant {
            number as u32
        } else {
            self.registers[number]
        };
        self.registers[register(first, 0)] = match field(first, 9, 1) {
            0 => self.add(a, b, false),
            _ => self.add(a, !b, true),
        };
        ALU
    }

    /// MOVS, CMP, ADDS and SUBS with a constant of eight bits.
    pub(super) fn immediate(&mut self, first: u16) -> u32 {
        let (to, constant) = (register(first, 8), field(first, 0, 8));
        let value = self.registers[to];
        match field(first, 11, 2) {
            0 => return self.keep(to, constant),
            1 => _ = self.add(value, !constant, true),
            2 => self.registers[to] = self.add(value, constant, false),
            _ => self.registers[to] = self.add(value, !constant, true),
        }
        ALU
    }

    /// The sixteen operations on two low registers.
    pub(super) fn two_registers(&mut self, first: u16) -> u32 {
        let to = register(first, 0);
        let (a, b, carry) = (
            self.registers[to],
            self.registers[register(first, 3)],
            self.flags.c,
        );
        match field(first, 6, 4) {
            0x0 => self.keep(to, a & b),
            0x1 => self.keep(to, a ^ b),
            0x2 => self.keep_shifted(to, shift::left(a, b & 0xFF, carry)),
            0x3 => self.keep_shifted(to, shift::right(a, b & 0xFF, carry)),
            0x4 => self.keep_shifted(to, shift::right_signed(a, b & 0xFF, carry)),
            0x5 => self.keep_sum(to, a, b, carry),
            0x6 => self.keep_sum(to, a, !b, carry),
            0x7 => self.keep_shifted(to, shift::rotate(a, b & 0xFF, carry)),
            0x8 => self.test(a & b),
            0x9 => self.keep_sum(to, 0, !b, true),
            0xA => self.compare(a, !b, true),
            0xB => self.compare(a, b, false),
            0xC => self.keep(to, a | b),
            0xD => self.keep(to, a.wrapping_mul(b)) * self.timing.multiply(),
            0xE => self.keep(to, a & !b),
            _ => self.keep(to, !b),
        }
    }

    const fn keep_sum(&mut self, to: usize, a: u32, b: u32, carry: bool) -> u32 {
        self.registers[to] = self.add(a, b, carry);
        ALU
    }

    const fn compare(&mut self, a: u32, b: u32, carry: bool) -> u32 {
        self.add(a, b, carry);
        ALU
    }

    const fn test(&mut self, value: u32) -> u32 {
        self.set_nz(value);
        ALU
    }

    /// ADD, CMP and MOV of any registers, BX and BLX.
    pub(super) fn high_registers(&mut self, first: u16) -> Result<u32, Fault> {
        let to = register(first, 0) + 8 * field(first, 7, 1) as usize;
        let from = field(first, 3, 4) as usize;
        let (a, b) = (self.read(to), self.read(from));
        match field(first, 8, 2) {
            0 => Ok(self.write_any(to, a.wrapping_add(b))),
            1 if to != PC && from != PC => Ok(self.compare(a, !b, true)),
            2 => Ok(self.write_any(to, b)),
            3 if first & 7 == 0 && from != PC => self.branch_register(first, b),
            _ => Err(self.unknown(first, 0)),
        }
    }

    const fn write_any(&mut self, to: usize, value: u32) -> u32 {
        match to {
            PC => {
                self.branch(value);
                return BRANCH;
            }
            SP => self.registers[SP] = value & !3,
            _ => self.registers[to] = value,
        }
        ALU
    }

    /// ADR, and ADD of the stack pointer and a constant.
    pub(super) fn address(&mut self, first: u16) -> u32 {
        let base = match field(first, 11, 1) {
            0 => self.read(PC) & !3,
            _ => self.registers[SP],
        };
        self.registers[register(first, 8)] = base.wrapping_add(field(first, 0, 8) * 4);
        ALU
    }

    /// ADD and SUB of the stack pointer.
    pub(super) const fn adjust_stack(&mut self, first: u16) -> u32 {
        let by = field(first, 0, 7) * 4;
        self.registers[SP] = match field(first, 7, 1) {
            0 => self.registers[SP].wrapping_add(by),
            _ => self.registers[SP].wrapping_sub(by),
        };
        ALU
    }

    /// SXTH, SXTB, UXTH and UXTB.
    pub(super) const fn extend(&mut self, first: u16) -> u32 {
        let value = self.registers[register(first, 3)];
        self.registers[register(first, 0)] = match field(first, 6, 2) {
            0 => value as i16 as u32,
            1 => value as i8 as u32,
            2 => value as u16 as u32,
            _ => value as u8 as u32,
        };
        ALU
    }

    /// REV, REV16 and REVSH.
    pub(super) const fn reverse(&mut self, first: u16) -> Result<u32, Fault> {
        let value = self.registers[register(first, 3)];
        self.registers[register(first, 0)] = match field(first, 6, 2) {
            0 => value.swap_bytes(),
            1 => value.swap_bytes().rotate_right(16),
            3 => (value as u16).swap_bytes() as i16 as u32,
            _ => return Err(self.unknown(first, 0)),
        };
        Ok(ALU)
    }
}
