//! From a file to a description.

use super::{Description, Problem, luminaire};
use std::fs::File;
use std::io::Read;
use std::path::Path;
use toml::de::DeTable;

/// More than the largest luminaire needs, and little enough to hold in memory.
const LARGEST: u64 = 1 << 20;

/// Reads and checks the text of a luminaire; `origin` names it in messages, and the log of a bus stands beside it.
///
/// # Errors
/// The first problem of the text.
pub fn parse(text: &str, origin: &str) -> Result<Description, Problem> {
    DeTable::parse(text)
        .map_err(|error| not_toml(text, &error))
        .and_then(|document| luminaire::read(&document, origin))
        .map_err(|problem| problem.seen_in(origin, text))
}

/// Reads and checks the file of a luminaire of at most 1 MiB, and hands back its text as well.
///
/// # Errors
/// The first problem of the file: not readable, too large, not UTF-8, or not a luminaire.
pub fn read(path: &Path) -> Result<(Description, String), Problem> {
    let origin = path.display().to_string();
    let bytes = bytes(path).map_err(|problem| problem.seen_in(&origin, ""))?;
    let text = String::from_utf8(bytes)
        .map_err(|error| not_utf8(&origin, error.as_bytes(), error.utf8_error()))?;
    parse(&text, &origin).map(|description| (description, text))
}

fn bytes(path: &Path) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|error| Problem::new(format!("cannot read the luminaire: {error}")))?;
    if bytes.len() as u64 > LARGEST {
        return Err(
            Problem::new("the file is too large").allowed("at most 1 MiB (1_048_576 bytes)")
        );
    }
    Ok(bytes)
}

fn not_utf8(origin: &str, bytes: &[u8], error: std::str::Utf8Error) -> Problem {
    let text = String::from_utf8_lossy(bytes);
    let start = error.valid_up_to();
    Problem::new("the file is not UTF-8 text")
        .at(start..start + char::REPLACEMENT_CHARACTER.len_utf8())
        .allowed("UTF-8 encoded TOML")
        .seen_in(origin, &text)
}

fn not_toml(text: &str, error: &toml::de::Error) -> Problem {
    let span = error.span().unwrap_or(0..0);
    // Behind the last line break a snippet has no line to show.
    let end = text.trim_end_matches(['\n', '\r']).len();
    Problem::new(format!("not TOML: {}", error.message()))
        .at(span.start.min(end)..span.end.min(end))
        .allowed("TOML 1.1 (toml.io)")
}
