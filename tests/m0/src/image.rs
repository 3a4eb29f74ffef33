//! The ELF file of a firmware.

use core::fmt;
use core::ops::Range;

use object::{Object, ObjectSegment, ObjectSymbol, SymbolKind};

/// A file that cannot be run.
#[derive(Debug)]
pub struct ImageError(String);

impl fmt::Display for ImageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl core::error::Error for ImageError {}

impl From<object::Error> for ImageError {
    fn from(error: object::Error) -> Self {
        Self(error.to_string())
    }
}

/// A function or an object of the firmware.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// As in the file.
    pub name: String,
    /// Without the Thumb bit.
    pub address: u32,
    /// Bytes.
    pub size: u32,
    /// Code, rather than data.
    pub is_function: bool,
}

impl Symbol {
    /// Its place in flash.
    pub(crate) const fn indices(&self) -> Range<usize> {
        self.address as usize..(self.address + self.size) as usize
    }
}

/// What the file puts into memory, and its symbols.
#[derive(Clone, Debug)]
pub struct Image {
    pub(crate) segments: Vec<(u32, Vec<u8>)>,
    symbols: Vec<Symbol>,
}

impl Image {
    /// Parses a 32-bit ARM ELF file.
    ///
    /// # Errors
    /// Of a file that is none.
    pub fn parse(file: &[u8]) -> Result<Self, ImageError> {
        let elf = object::File::parse(file)?;
        if elf.architecture() != object::Architecture::Arm {
            return Err(ImageError(format!("not for ARM: {:?}", elf.architecture())));
        }
        let segments = elf
            .segments()
            .map(|segment| Ok((segment.address() as u32, segment.data()?.to_vec())));
        Ok(Self {
            segments: segments.collect::<Result<_, ImageError>>()?,
            symbols: symbols(&elf)?,
        })
    }

    /// From code alone, for tests: functions by name, of halfwords, from address 0 up.
    #[must_use]
    pub fn from_functions(functions: &[(&str, &[u16])]) -> Self {
        let (mut flash, mut symbols) = (Vec::new(), Vec::new());
        for (name, code) in functions {
            flash.resize(flash.len().next_multiple_of(4), 0);
            symbols.push(Symbol {
                name: (*name).to_owned(),
                address: flash.len() as u32,
                size: 2 * code.len() as u32,
                is_function: true,
            });
            flash.extend(code.iter().flat_map(|halfword| halfword.to_le_bytes()));
        }
        Self {
            segments: vec![(0, flash)],
            symbols,
        }
    }

    /// All functions and objects, by address.
    pub fn symbols(&self) -> &[Symbol] {
        &self.symbols
    }

    /// By name.
    #[must_use]
    pub fn symbol(&self, name: &str) -> Option<&Symbol> {
        self.symbols.iter().find(|symbol| symbol.name == name)
    }

    /// Bytes that the firmware takes in flash: code, tables and what RAM starts with.
    #[must_use]
    pub fn flash_bytes(&self) -> u32 {
        self.segments
            .iter()
            .map(|(_, bytes)| bytes.len() as u32)
            .sum()
    }
}

fn symbols(elf: &object::File<'_>) -> Result<Vec<Symbol>, ImageError> {
    let mut symbols = Vec::new();
    for symbol in elf.symbols() {
        let is_function = symbol.kind() == SymbolKind::Text;
        let is_data = symbol.kind() == SymbolKind::Data;
        if symbol.size() != 0 && (is_function || is_data) {
            symbols.push(Symbol {
                name: symbol.name()?.to_owned(),
                address: symbol.address() as u32 & !u32::from(is_function),
                size: symbol.size() as u32,
                is_function,
            });
        }
    }
    symbols.sort_by_key(|symbol| (symbol.address, symbol.size));
    Ok(symbols)
}
