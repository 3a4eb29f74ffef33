//! Why a file is no waveform: where, what, and what is allowed.

use std::fmt;
use std::io;
use std::path::Path;

/// One error for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    file: String,
    line: Option<u64>,
    message: String,
}

impl Refusal {
    /// About a file as a whole.
    pub fn of(file: &Path, message: impl Into<String>) -> Self {
        Self {
            file: file.display().to_string(),
            line: None,
            message: message.into(),
        }
    }

    pub(super) fn at(file: &Path, line: u64, message: impl Into<String>) -> Self {
        Self {
            line: Some(line),
            ..Self::of(file, message)
        }
    }

    pub(super) fn io(file: &Path, error: &io::Error) -> Self {
        Self::of(file, format!("cannot be read: {error}"))
    }

    /// The line, counted from 1, where there is one.
    #[must_use]
    pub fn line(&self) -> Option<u64> {
        self.line
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(formatter, ":{line}")?;
        }
        write!(formatter, ": {}", self.message)
    }
}

impl std::error::Error for Refusal {}
