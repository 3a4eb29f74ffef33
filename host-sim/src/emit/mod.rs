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

/// Recipes of a path that the C interface takes at most.
const MOST_LEGS_IN_C: usize = 8;

/// The files of a luminaire; `digest` is the SHA-256 of what it was read from, in hexadecimal.
///
/// # Errors
/// Says which fade of the script goes through more recipes than the C interface takes.
pub fn emit(
    description: &Description,
    digest: &str,
    language: Language,
) -> Result<Vec<File>, String> {
    let parts = Parts::of(description, digest);
    if language == Language::Rust {
        return Ok(vec![rust::module(&parts)]);
    }
    let long = |fade: &parts::Fade| fade.legs.len() > MOST_LEGS_IN_C;
    match parts.fades.iter().position(long) {
        Some(place) => Err(format!(
            "fade {} of the script goes through too many recipes for C; allowed are at most {} in `through`",
            place + 1,
            MOST_LEGS_IN_C - 1
        )),
        None => Ok(vec![c::header(&parts), c::source(&parts)]),
    }
}
