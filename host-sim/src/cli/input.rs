//! The luminaire that a command is about: a file, or the built-in one.

use std::path::Path;

use sha2::{Digest, Sha256};

use crate::description::{BUILT_IN, Description, Problem, parse, read};

/// A luminaire and its text.
pub(super) struct Input {
    pub(super) description: Description,
    pub(super) text: String,
    /// Name of the file, or `built in`.
    pub(super) origin: String,
}

impl Input {
    /// Of a file, or without one the built-in luminaire.
    pub(super) fn read(file: Option<&Path>) -> Result<Self, Problem> {
        match file {
            Some(file) => read(file).map(|(description, text)| Self {
                description,
                text,
                origin: file.display().to_string(),
            }),
            None => Ok(Self {
                description: parse(BUILT_IN, "the built-in luminaire")?,
                text: BUILT_IN.to_owned(),
                origin: "built in".to_owned(),
            }),
        }
    }
}

/// SHA-256 in hexadecimal.
pub(super) fn digest(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
