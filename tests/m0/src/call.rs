//! Calling a function, and what the call cost.

use crate::machine::{LR, PC, RETURN, SP};
use crate::{Fault, Machine};

/// Far more than any function here takes; a call that runs on and on ends here.
const LONGEST_CALL: u64 = 1 << 32;

/// What a call gave and took, from its first instruction to its return; the caller's BL is not in it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// R0 and R1 at return.
    pub results: [u32; 2],
    /// Instructions executed.
    pub instructions: u64,
    /// Cycles by [`Timing`](crate::Timing).
    pub cycles: u64,
    /// Bytes below the caller's stack pointer that were used at the deepest point.
    pub stack_bytes: u32,
}

impl Machine {
    /// Calls a function by the name of its symbol, with up to four arguments in R0 to R3.
    ///
    /// RAM keeps what earlier calls left there.
    ///
    /// # Errors
    /// [`Fault`], also for a name that the file does not have.
    pub fn call(&mut self, name: &str, arguments: &[u32]) -> Result<Cost, Fault> {
        let symbol = self.image.symbol(name);
        let entry = symbol
            .ok_or_else(|| Fault::NoSymbol(name.to_owned()))?
            .address;
        let mut touched = self
            .touched_by
            .remove(name)
            .unwrap_or_else(|| self.touched.clone());
        std::mem::swap(&mut touched, &mut self.touched);
        self.begin(entry, arguments);
        let cost = self.run_to_return();
        std::mem::swap(&mut touched, &mut self.touched);
        self.touched_by.insert(name.to_owned(), touched);
        cost
    }

    pub(crate) fn run_to_return(&mut self) -> Result<Cost, Fault> {
        let (instructions, cycles) = self.counts();
        while self.registers[PC] != RETURN {
            self.step()?;
            if self.instructions - instructions > LONGEST_CALL {
                return Err(Fault::TooLong(LONGEST_CALL));
            }
        }
        Ok(Cost {
            results: [self.registers[0], self.registers[1]],
            instructions: self.instructions - instructions,
            cycles: self.cycles - cycles,
            stack_bytes: self.memory.ram_end() - self.lowest_stack,
        })
    }

    pub(crate) fn begin(&mut self, entry: u32, arguments: &[u32]) {
        self.registers[SP] = self.memory.ram_end();
        self.lowest_stack = self.memory.ram_end();
        self.enter(entry, arguments);
    }

    /// Goes to a function, on the stack as it stands.
    pub(crate) fn enter(&mut self, entry: u32, arguments: &[u32]) {
        self.registers[..arguments.len()].copy_from_slice(arguments);
        self.registers[LR] = RETURN | 1;
        self.branch(entry);
    }

    pub(crate) fn entry(&self, name: &str) -> Result<u32, Fault> {
        let symbol = self.image.symbol(name);
        Ok(symbol
            .ok_or_else(|| Fault::NoSymbol(name.to_owned()))?
            .address)
    }

    /// RAM for an argument that is passed by its address, aligned to 8 bytes.
    ///
    /// # Errors
    /// If RAM does not hold it.
    pub fn allocate(&mut self, bytes: u32) -> Result<u32, Fault> {
        let at = self.free;
        self.memory.bytes(at, bytes as usize)?;
        self.free = (at + bytes).next_multiple_of(8);
        Ok(at)
    }

    /// Writes words to RAM.
    ///
    /// # Errors
    /// Outside RAM, or not aligned.
    pub fn write_words(&mut self, at: u32, words: &[u32]) -> Result<(), Fault> {
        for (address, &word) in (at..).step_by(4).zip(words) {
            self.memory.store(address, 4, word)?;
        }
        Ok(())
    }

    /// Reads words from memory.
    ///
    /// # Errors
    /// Outside memory, or not aligned.
    pub fn read_words(&self, at: u32, count: usize) -> Result<Vec<u32>, Fault> {
        let addresses = (at..).step_by(4).take(count);
        addresses
            .map(|address| self.memory.load(address, 4))
            .collect()
    }

    /// Bytes of flash that all calls of some functions so far have used together: functions whole, tables as far as they
    /// were read.
    #[must_use]
    pub fn flash_bytes(&self, names: &[&str]) -> u32 {
        let mut together = self.touched.clone();
        for touched in names.iter().filter_map(|&name| self.touched_by.get(name)) {
            together.join(touched);
        }
        together.flash_bytes(self.image.symbols())
    }
}
