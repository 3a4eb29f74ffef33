//! A described luminaire as constants for its firmware: a Rust module, or a C header and source.
//!
//! The numbers are those from which `run` builds the luminaire that it steps, so that the streams are the same bit for bit.

mod c;
mod identifier;
mod parts;
mod rust;
mod tables;
mod written;

pub use written::{NotWritten, write};

use crate::description::Description;
use parts::Parts;

/// What the constants are written in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Language {
    /// A module for the core `milliglow`, as rustfmt leaves it.
    #[default]
    Rust,
    /// A header and a source of C11 for `milliglow-ffi`.
    C,
}

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Its name, without a folder.
    pub name: String,
    /// What it holds.
    pub text: String,
}

/// Stands in the head of every file that is written, and so tells which may be written over.
const MARK: &str = "Written by `milliglow emit`";

/// The files of a luminaire; `digest` is the SHA-256 of what it was read from, in hexadecimal.
#[must_use]
pub fn emit(description: &Description, digest: &str, language: Language) -> Vec<File> {
    let parts = Parts::of(description, digest);
    match language {
        Language::Rust => vec![rust::module(&parts)],
        Language::C => vec![c::header(&parts), c::source(&parts)],
    }
}
