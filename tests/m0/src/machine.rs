//! The registers of the processor, and one instruction after the other.

use std::collections::BTreeMap;

use crate::bits::add_with_carry;
use crate::memory::{Memory, RAM};
use crate::touched::Touched;
use crate::{Fault, Image, Timing};

/// RAM of the machine: more than most chips have, so that any buffer fits.
const RAM_BYTES: usize = 64 << 10;
/// An address that no code is at: a return to it ends a call.
pub(crate) const RETURN: u32 = 0xFFFF_FFFE;

pub(crate) const SP: usize = 13;
pub(crate) const LR: usize = 14;
pub(crate) const PC: usize = 15;

/// The condition flags.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flags {
    /// Negative.
    pub n: bool,
    /// Zero.
    pub z: bool,
    /// Carry.
    pub c: bool,
    /// Signed overflow.
    pub v: bool,
}

/// A Cortex-M0 with a firmware in flash.
#[derive(Clone, Debug)]
pub struct Machine {
    /// R0 to R12, SP, LR; the last is the address of the instruction that comes next.
    pub registers: [u32; 16],
    /// The condition flags.
    pub flags: Flags,
    /// How cycles are counted.
    pub timing: Timing,
    /// Whether interrupts are masked.
    pub primask: bool,
    pub(crate) memory: Memory,
    pub(crate) image: Image,
    pub(crate) touched: Touched,
    /// What calls so far have used, by the name of the function called.
    pub(crate) touched_by: BTreeMap<String, Touched>,
    pub(crate) instructions: u64,
    pub(crate) cycles: u64,
    pub(crate) lowest_stack: u32,
    pub(crate) free: u32,
    /// Address of the instruction in hand, which reads of the PC and branches count from.
    pub(crate) here: u32,
    /// The word of code that was fetched last; none after a branch.
    fetched: Option<u32>,
}

impl Machine {
    /// With RAM as the file wants it at start.
    ///
    /// # Errors
    /// Of a file that reaches beyond flash or RAM.
    pub fn new(image: &Image, timing: Timing) -> Result<Self, Fault> {
        let in_flash = image
            .segments
            .iter()
            .filter(|(at, _)| Memory::is_flash(*at));
        let flash_bytes = in_flash
            .map(|(at, bytes)| *at as usize + bytes.len())
            .max()
            .unwrap_or(0);
        let mut memory = Memory::new(flash_bytes, RAM_BYTES);
        for (at, bytes) in &image.segments {
            memory.place(*at, bytes)?;
        }
        let taken = image
            .symbols()
            .iter()
            .map(|symbol| symbol.address + symbol.size);
        Ok(Self {
            registers: [0; 16],
            flags: Flags::default(),
            timing,
            primask: false,
            touched: Touched::new(flash_bytes),
            touched_by: BTreeMap::new(),
            free: taken.max().unwrap_or(0).max(RAM).next_multiple_of(8),
            lowest_stack: memory.ram_end(),
            memory,
            image: image.clone(),
            instructions: 0,
            cycles: 0,
            here: 0,
            fetched: None,
        })
    }

    /// Runs one instruction.
    ///
    /// # Errors
    /// Anything that a processor would stop at; the machine is not to be used further.
    pub fn step(&mut self) -> Result<(), Fault> {
        self.here = self.registers[PC];
        let first = self.fetch(self.here)?;
        self.registers[PC] = self.here.wrapping_add(2);
        let cycles = self.execute(first)?;
        self.cycles += u64::from(cycles);
        self.instructions += 1;
        self.lowest_stack = self.lowest_stack.min(self.registers[SP]);
        Ok(())
    }

    /// Instructions and cycles since the beginning.
    #[must_use]
    pub const fn counts(&self) -> (u64, u64) {
        (self.instructions, self.cycles)
    }

    /// A halfword of code, with the wait states that its word costs.
    pub(crate) fn fetch(&mut self, at: u32) -> Result<u16, Fault> {
        if Memory::is_flash(at) {
            if self.fetched != Some(at / 4) {
                self.cycles += u64::from(self.timing.fetch());
            }
            self.fetched = Some(at / 4);
        }
        let halfword = self.memory.load(at, 2)?;
        if Memory::is_flash(at) {
            self.touched.execute(at);
        }
        Ok(halfword as u16)
    }

    /// A register as an operand; the PC reads two instructions ahead.
    pub(crate) const fn read(&self, register: usize) -> u32 {
        match register {
            PC => self.here.wrapping_add(4),
            _ => self.registers[register],
        }
    }

    pub(crate) const fn branch(&mut self, to: u32) {
        self.registers[PC] = to & !1;
        self.fetched = None;
    }

    /// A branch that chooses the instruction set by the lowest bit.
    pub(crate) const fn branch_exchange(&mut self, to: u32) -> Result<(), Fault> {
        if to & 1 == 0 {
            return Err(Fault::NotThumb(to));
        }
        self.branch(to);
        Ok(())
    }

    /// Loads data, with the wait states that flash costs.
    pub(crate) fn load(&mut self, at: u32, size: u32) -> Result<u32, Fault> {
        let value = self.memory.load(at, size)?;
        if Memory::is_flash(at) {
            self.touched.read(at, size);
            self.cycles += u64::from(self.timing.wait_states);
        }
        Ok(value)
    }

    /// Sets N and Z.
    pub(crate) const fn set_nz(&mut self, value: u32) {
        self.flags.n = value >> 31 != 0;
        self.flags.z = value == 0;
    }

    /// Adds and sets all flags.
    pub(crate) const fn add(&mut self, a: u32, b: u32, carry: bool) -> u32 {
        let (sum, carry, overflow) = add_with_carry(a, b, carry);
        self.set_nz(sum);
        (self.flags.c, self.flags.v) = (carry, overflow);
        sum
    }

    pub(crate) const fn unknown(&self, first: u16, second: u16) -> Fault {
        Fault::Unknown {
            at: self.here,
            first,
            second,
        }
    }
}
