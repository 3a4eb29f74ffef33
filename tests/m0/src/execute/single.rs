//! Loads and stores of one register.

use super::TRANSFER;
use crate::bits::{field, register, signed};
use crate::machine::{PC, SP};
use crate::memory::Memory;
use crate::{Fault, Machine};

/// What is moved between memory and a register.
#[derive(Clone, Copy)]
enum Access {
    Store { size: u32 },
    Load { size: u32 },
    LoadSigned { size: u32 },
}

use Access::{Load, LoadSigned, Store};

/// By the three bits from bit 9 of an instruction with a register offset.
const BY_REGISTER: [Access; 8] = [
    Store { size: 4 },
    Store { size: 2 },
    Store { size: 1 },
    LoadSigned { size: 1 },
    Load { size: 4 },
    Load { size: 2 },
    Load { size: 1 },
    LoadSigned { size: 2 },
];

impl Machine {
    /// LDR of a literal: from code, so without a wait state where code is in RAM.
    pub(super) fn load_literal(&mut self, first: u16) -> Result<u32, Fault> {
        let at = (self.read(PC) & !3).wrapping_add(field(first, 0, 8) * 4);
        self.registers[register(first, 8)] = self.load(at, 4)?;
        if Memory::is_flash(at) && self.timing.code_in_ram {
            self.cycles -= u64::from(self.timing.wait_states);
        }
        Ok(TRANSFER)
    }

    /// Loads and stores with an offset from a register or from the stack pointer.
    pub(super) fn transfer(&mut self, first: u16) -> Result<u32, Fault> {
        let base = self.registers[register(first, 3)];
        match first >> 12 {
            0b0101 => {
                let access = BY_REGISTER[field(first, 9, 3) as usize];
                let offset = self.registers[register(first, 6)];
                self.access(access, base.wrapping_add(offset), register(first, 0))
            }
            0b1001 => {
                let at = self.registers[SP].wrapping_add(field(first, 0, 8) * 4);
                self.access(Self::direction(first, 4), at, register(first, 8))
            }
            group => {
                let size = [4, 1, 2][group as usize - 6];
                let at = base.wrapping_add(field(first, 6, 5) * size);
                self.access(Self::direction(first, size), at, register(first, 0))
            }
        }
    }

    const fn direction(first: u16, size: u32) -> Access {
        match field(first, 11, 1) {
            0 => Store { size },
            _ => Load { size },
        }
    }

    fn access(&mut self, access: Access, at: u32, register: usize) -> Result<u32, Fault> {
        match access {
            Store { size } => self.memory.store(at, size, self.registers[register])?,
            Load { size } => self.registers[register] = self.load(at, size)?,
            LoadSigned { size } => {
                self.registers[register] = signed(self.load(at, size)?, 8 * size);
            }
        }
        Ok(TRANSFER)
    }
}
