//! What ends a run early.

use core::fmt;

/// Why the machine stopped; the addresses are those of the access or of the instruction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// An instruction that ARMv6-M does not define, or that this machine does not run.
    Unknown {
        /// Where.
        at: u32,
        /// Its first halfword.
        first: u16,
        /// Its second halfword, 0 for a 16-bit instruction.
        second: u16,
    },
    /// An access outside flash and RAM.
    Outside(u32),
    /// A write to flash.
    ReadOnly(u32),
    /// An access that is not aligned to its size.
    Unaligned(u32),
    /// A branch to an address without the Thumb bit.
    NotThumb(u32),
    /// More instructions than the call was allowed.
    TooLong(u64),
    /// No such symbol in the file.
    NoSymbol(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { at, first, second } => {
                write!(
                    f,
                    "{at:#010x}: unknown instruction {first:04x} {second:04x}"
                )
            }
            Self::Outside(at) => write!(f, "{at:#010x}: access outside flash and RAM"),
            Self::ReadOnly(at) => write!(f, "{at:#010x}: write to flash"),
            Self::Unaligned(at) => write!(f, "{at:#010x}: access not aligned to its size"),
            Self::NotThumb(at) => write!(f, "{at:#010x}: branch without the Thumb bit"),
            Self::TooLong(limit) => write!(f, "still running after {limit} instructions"),
            Self::NoSymbol(name) => write!(f, "no symbol {name}"),
        }
    }
}

impl core::error::Error for Fault {}
