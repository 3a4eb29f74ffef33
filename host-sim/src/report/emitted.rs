//! Constants for a firmware as one JSON document.

use std::path::PathBuf;

use serde_json::{Value, json};

use super::{PROGRAM, VERSION};
use crate::emit::{File, Language};

/// What `emit` made.
#[derive(Clone, Debug)]
pub struct Emitted {
    /// The luminaire's file or `built in`.
    pub origin: String,
    /// SHA-256 of its text, in hexadecimal.
    pub input_digest: String,
    /// What the files are written in.
    pub language: Language,
    /// The files.
    pub files: Vec<File>,
    /// Where they were written, as many; none where they were not.
    pub written: Vec<PathBuf>,
}

/// The document, keys in this order.
///
/// | key | holds |
/// |---|---|
/// | `schema_version` | 1; raised when a key changes its meaning or goes |
/// | `tool` | `name` and `version` of the program |
/// | `input` | `origin`, the luminaire's file or `built in`, and `sha256` of its text |
/// | `language` | `rust` or `c` |
/// | `files` | an array of `name`, `text`, and `path` where it was written, or null |
#[must_use]
pub fn json(emitted: &Emitted) -> Value {
    let language = match emitted.language {
        Language::Rust => "rust",
        Language::C => "c",
    };
    let files = emitted.files.iter().enumerate().map(|(place, file)| {
        let path = emitted.written.get(place);
        json!({
            "name": file.name,
            "text": file.text,
            "path": path.map(|path| path.display().to_string()),
        })
    });
    json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": emitted.origin, "sha256": emitted.input_digest },
        "language": language,
        "files": files.collect::<Vec<_>>(),
    })
}
