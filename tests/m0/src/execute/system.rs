//! Special registers, barriers, hints and the 32-bit instructions.

use super::ALU;
use crate::bits::field;
use crate::machine::{PC, SP};
use crate::{Fault, Flags, Machine};

/// Cycles of MRS, MSR and the barriers.
const SYSTEM: u32 = 4;

impl Machine {
    /// NOP, YIELD and SEV do nothing here; CPSID and CPSIE set PRIMASK.
    pub(super) const fn hint_or_mask(&mut self, first: u16) -> Result<u32, Fault> {
        match first {
            0xBF00 | 0xBF10 | 0xBF40 => Ok(ALU),
            0xB662 | 0xB672 => {
                self.primask = first == 0xB672;
                Ok(ALU)
            }
            _ => Err(self.unknown(first, 0)),
        }
    }

    /// BL, MRS, MSR, DSB, DMB and ISB.
    pub(super) fn wide(&mut self, first: u16) -> Result<u32, Fault> {
        let second = self.fetch(self.here.wrapping_add(2))?;
        self.registers[PC] = self.here.wrapping_add(4);
        let number = field(first, 0, 4) as usize;
        match (first, second) {
            (_, _) if second & 0xD000 == 0xD000 => Ok(self.branch_with_link(first, second)),
            (0xF3EF, 0x8000..=0x8CFF) => self.read_special(second),
            (0xF380..=0xF38E, 0x8800..=0x88FF) => self.write_special(number, first, second),
            (0xF3BF, 0x8F40..=0x8F6F) => Ok(SYSTEM),
            _ => Err(self.unknown(first, second)),
        }
    }

    fn read_special(&mut self, second: u16) -> Result<u32, Fault> {
        self.registers[field(second, 8, 4) as usize] = match second & 0xFF {
            0..=3 => self.flags_as_bits(),
            8 => self.registers[SP],
            16 => u32::from(self.primask),
            _ => return Err(self.unknown(0xF3EF, second)),
        };
        Ok(SYSTEM)
    }

    fn write_special(&mut self, from: usize, first: u16, second: u16) -> Result<u32, Fault> {
        let value = self.registers[from];
        match second & 0xFF {
            0..=3 => self.flags = flags_of_bits(value),
            8 => self.registers[SP] = value & !3,
            16 => self.primask = value & 1 == 1,
            _ => return Err(self.unknown(first, second)),
        }
        Ok(SYSTEM)
    }

    fn flags_as_bits(&self) -> u32 {
        let Flags { n, z, c, v } = self.flags;
        [n, z, c, v]
            .iter()
            .fold(0, |bits, &flag| bits << 1 | u32::from(flag))
            << 28
    }
}

const fn flags_of_bits(bits: u32) -> Flags {
    Flags {
        n: bits >> 31 & 1 == 1,
        z: bits >> 30 & 1 == 1,
        c: bits >> 29 & 1 == 1,
        v: bits >> 28 & 1 == 1,
    }
}
