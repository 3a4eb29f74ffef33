//! The instructions of ARMv6-M, a file a class. Each gives its cycles without wait states.
//!
//! *Source*: ARMv6-M Architecture Reference Manual (ARM DDI 0419), section A5.2 and A6.7.

mod data;
mod flow;
mod several;
mod shift;
mod single;
mod system;

use crate::bits::field;
use crate::{Fault, Machine};

/// Cycles of what only moves data within the registers.
const ALU: u32 = 1;
/// Cycles of a load or store of one register.
const TRANSFER: u32 = 2;
/// Cycles of a taken branch and of any other write to the PC.
const BRANCH: u32 = 3;

impl Machine {
    pub(crate) fn execute(&mut self, first: u16) -> Result<u32, Fault> {
        match first >> 11 {
            0b00000..=0b00010 => Ok(self.shift_immediate(first)),
            0b00011 => Ok(self.add_three(first)),
            0b00100..=0b00111 => Ok(self.immediate(first)),
            0b01000 if field(first, 10, 1) == 0 => Ok(self.two_registers(first)),
            0b01000 => self.high_registers(first),
            0b01001 => self.load_literal(first),
            0b01010..=0b10011 => self.transfer(first),
            0b10100..=0b10101 => Ok(self.address(first)),
            0b10110..=0b10111 => self.miscellaneous(first),
            0b11000..=0b11001 => self.several(first),
            0b11010..=0b11011 => self.branch_if(first),
            0b11100 => Ok(self.branch_always(first)),
            0b11110 => self.wide(first),
            _ => Err(self.unknown(first, 0)),
        }
    }

    /// B: everything from 1011.
    fn miscellaneous(&mut self, first: u16) -> Result<u32, Fault> {
        match first >> 8 & 0xF {
            0b0000 => Ok(self.adjust_stack(first)),
            0b0010 => Ok(self.extend(first)),
            0b0100 | 0b0101 => self.push(first),
            0b1010 => self.reverse(first),
            0b1100 | 0b1101 => self.pop(first),
            0b0110 | 0b1111 => self.hint_or_mask(first),
            _ => Err(self.unknown(first, 0)),
        }
    }
}
