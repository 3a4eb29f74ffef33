//! What of flash a run has used.

use crate::Symbol;

/// Addresses executed and bytes read, a flag each byte of flash.
#[derive(Clone, Debug)]
pub(crate) struct Touched {
    executed: Vec<bool>,
    read: Vec<bool>,
}

impl Touched {
    pub(crate) fn new(flash_bytes: usize) -> Self {
        Self {
            executed: vec![false; flash_bytes],
            read: vec![false; flash_bytes],
        }
    }

    pub(crate) fn execute(&mut self, at: u32) {
        self.executed[at as usize] = true;
    }

    pub(crate) fn read(&mut self, at: u32, size: u32) {
        self.read[at as usize..(at + size) as usize].fill(true);
    }

    pub(crate) fn join(&mut self, other: &Self) {
        let flags = self.executed.iter_mut().zip(&other.executed);
        for (here, there) in flags.chain(self.read.iter_mut().zip(&other.read)) {
            *here |= there;
        }
    }

    /// The functions that ran, each once.
    fn functions<'a>(&self, symbols: &'a [Symbol]) -> Vec<&'a Symbol> {
        let ran = |symbol: &&Symbol| {
            symbol.is_function && self.executed[symbol.indices()].contains(&true)
        };
        let mut functions: Vec<&Symbol> = symbols.iter().filter(ran).collect();
        functions.dedup_by_key(|function| function.address);
        functions
    }

    /// Bytes of the functions that ran, whole, and of the tables, as far as they were read.
    pub(crate) fn flash_bytes(&self, symbols: &[Symbol]) -> u32 {
        let mut read = self.read.clone();
        let mut code = 0;
        for function in self.functions(symbols) {
            code += function.size;
            read[function.indices()].fill(false);
        }
        code + read.iter().filter(|&&read| read).count() as u32
    }
}
