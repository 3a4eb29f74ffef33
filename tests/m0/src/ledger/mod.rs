//! The ledger: what the core costs on a Cortex-M0, as a file that is kept with the code.

mod compare;
mod file;
mod page;
mod shares;

pub use compare::{Comparison, compare};
pub use file::{FileError, lines, read, write};
pub use page::{block, replace_blocks};
pub use shares::shares;

use std::path::PathBuf;

/// One function, or one firmware, at one opt-level. What does not apply is `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// What was measured; the ledger's head explains the names.
    pub item: String,
    /// `3` or `s`.
    pub opt_level: String,
    /// Figures in the order of [`FIGURES`].
    pub figures: [Option<f64>; FIGURES.len()],
}

/// The columns of figures.
pub const FIGURES: [&str; 8] = [
    "instructions",
    "cycles",
    "cycles_slow_multiplier",
    "cycles_one_wait_state",
    "cycles_one_wait_state_code_in_ram",
    "flash_bytes",
    "stack_bytes",
    "ram_bytes",
];

impl Row {
    /// A figure by the name of its column.
    #[must_use]
    pub fn figure(&self, column: &str) -> Option<f64> {
        let place = FIGURES.iter().position(|&known| known == column)?;
        self.figures[place]
    }

    /// Peers are shown beside, and may change with their versions.
    #[must_use]
    pub fn is_peer(&self) -> bool {
        self.item.starts_with("peer_")
    }

    fn key(&self) -> (&str, &str) {
        (&self.item, &self.opt_level)
    }
}

/// Where the ledger is kept.
#[must_use]
pub fn path() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/ledger.csv"))
}

/// The page that quotes it.
#[must_use]
pub fn readme() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../README.md"))
}
