//! Flash and RAM.

use crate::Fault;

/// Where flash begins.
pub(crate) const FLASH: u32 = 0;
/// Where RAM begins.
pub(crate) const RAM: u32 = 0x2000_0000;

/// Both memories, little-endian.
#[derive(Clone, Debug)]
pub(crate) struct Memory {
    flash: Vec<u8>,
    ram: Vec<u8>,
}

impl Memory {
    pub(crate) fn new(flash_bytes: usize, ram_bytes: usize) -> Self {
        Self {
            flash: vec![0xFF; flash_bytes],
            ram: vec![0; ram_bytes],
        }
    }

    pub(crate) const fn is_flash(at: u32) -> bool {
        at < RAM
    }

    pub(crate) fn ram_end(&self) -> u32 {
        RAM + self.ram.len() as u32
    }

    /// Puts bytes anywhere, as a programmer or a debugger would.
    pub(crate) fn place(&mut self, at: u32, bytes: &[u8]) -> Result<(), Fault> {
        self.bytes_mut(at, bytes.len())?.copy_from_slice(bytes);
        Ok(())
    }

    pub(crate) fn bytes(&self, at: u32, count: usize) -> Result<&[u8], Fault> {
        let (memory, base) = if Self::is_flash(at) {
            (&self.flash, FLASH)
        } else {
            (&self.ram, RAM)
        };
        let begin = (at - base) as usize;
        memory.get(begin..begin + count).ok_or(Fault::Outside(at))
    }

    fn bytes_mut(&mut self, at: u32, count: usize) -> Result<&mut [u8], Fault> {
        let (memory, base) = if Self::is_flash(at) {
            (&mut self.flash, FLASH)
        } else {
            (&mut self.ram, RAM)
        };
        let begin = (at - base) as usize;
        memory
            .get_mut(begin..begin + count)
            .ok_or(Fault::Outside(at))
    }

    /// 1, 2 or 4 bytes, aligned.
    pub(crate) fn load(&self, at: u32, size: u32) -> Result<u32, Fault> {
        Self::aligned(at, size)?;
        let bytes = self.bytes(at, size as usize)?;
        Ok(bytes
            .iter()
            .rev()
            .fold(0, |value, &byte| value << 8 | u32::from(byte)))
    }

    /// The low 1, 2 or 4 bytes of a value, aligned, to RAM.
    pub(crate) fn store(&mut self, at: u32, size: u32, value: u32) -> Result<(), Fault> {
        Self::aligned(at, size)?;
        if Self::is_flash(at) {
            return Err(Fault::ReadOnly(at));
        }
        self.place(at, &value.to_le_bytes()[..size as usize])
    }

    const fn aligned(at: u32, size: u32) -> Result<(), Fault> {
        if at.is_multiple_of(size) {
            Ok(())
        } else {
            Err(Fault::Unaligned(at))
        }
    }
}
