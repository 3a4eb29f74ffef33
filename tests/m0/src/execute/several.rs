//! Loads and stores of several registers.

use crate::bits::{field, register};
use crate::machine::{LR, SP};
use crate::{Fault, Machine};

/// The registers of a list, the lowest first.
fn listed(first: u16) -> impl Iterator<Item = usize> + Clone {
    (0..8).filter(move |&register| first >> register & 1 == 1)
}

impl Machine {
    /// STM and LDM.
    pub(super) fn several(&mut self, first: u16) -> Result<u32, Fault> {
        let (base, list, is_load) = (register(first, 8), listed(first), field(first, 11, 1) == 1);
        let count = list.clone().count() as u32;
        if count == 0 || (!is_load && first >> base & 1 == 1 && list.clone().next() != Some(base)) {
            return Err(self.unknown(first, 0)); // what is stored would be unknown
        }
        let begin = self.registers[base];
        if is_load {
            self.load_all(list, begin)?;
        } else {
            self.store_all(list, begin)?;
        }
        if !is_load || first >> base & 1 == 0 {
            self.registers[base] = begin.wrapping_add(4 * count);
        }
        Ok(1 + count)
    }

    fn load_all(&mut self, list: impl Iterator<Item = usize>, begin: u32) -> Result<u32, Fault> {
        let mut at = begin;
        for register in list {
            self.registers[register] = self.load(at, 4)?;
            at = at.wrapping_add(4);
        }
        Ok(at)
    }

    fn store_all(&mut self, list: impl Iterator<Item = usize>, begin: u32) -> Result<(), Fault> {
        let mut at = begin;
        for register in list {
            self.memory.store(at, 4, self.registers[register])?;
            at = at.wrapping_add(4);
        }
        Ok(())
    }

    pub(super) fn push(&mut self, first: u16) -> Result<u32, Fault> {
        let list = listed(first).chain((field(first, 8, 1) == 1).then_some(LR));
        let count = list.clone().count() as u32;
        if count == 0 {
            return Err(self.unknown(first, 0));
        }
        self.registers[SP] = self.registers[SP].wrapping_sub(4 * count);
        self.store_all(list, self.registers[SP])?;
        Ok(1 + count)
    }

    pub(super) fn pop(&mut self, first: u16) -> Result<u32, Fault> {
        let (list, returns) = (listed(first), field(first, 8, 1));
        let count = list.clone().count() as u32 + returns;
        if count == 0 {
            return Err(self.unknown(first, 0));
        }
        let at = self.load_all(list, self.registers[SP])?;
        self.registers[SP] = self.registers[SP].wrapping_add(4 * count);
        if returns == 0 {
            return Ok(1 + count);
        }
        let to = self.load(at, 4)?;
        self.branch_exchange(to)?;
        Ok(4 + count)
    }
}
