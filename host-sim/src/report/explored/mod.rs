//! Everything that shows a result of `explore`.

mod json;
mod words;

pub use json::json;
pub use words::words;

use std::path::Path;

use super::folder::{FolderError, write_files};
use super::plots::front;
use crate::explore::{Cache, Explored};

/// Name of the cache in a report's folder.
pub const CACHE_FILE: &str = "explore-cache.jsonl";

/// A search with where it came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Searched {
    /// What was found.
    pub explored: Explored,
    /// SHA-256 of the luminaire's file, in hexadecimal.
    pub input_digest: String,
    /// Name of the file, or `built in`.
    pub origin: String,
}

/// Writes plot and document of a search into `folder`, and its cache if that belongs there, replacing an older report.
///
/// # Errors
/// When the folder exists and is not ours, or the system refuses.
pub fn write(searched: &Searched, cache: Option<&Cache>, folder: &Path) -> Result<(), FolderError> {
    let mut files = vec![
        ("explore.svg", plot(&searched.explored)),
        ("explore.json", format!("{:#}\n", json(searched))),
    ];
    files.extend(cache.map(|cache| (CACHE_FILE, cache.text())));
    write_files(&files, folder)
}

fn plot(explored: &Explored) -> String {
    let designs = explored.front.iter();
    let designs: Vec<_> = designs
        .map(|design| (design.edges_hz, design.margin))
        .collect();
    front(&explored.looked_at, &designs)
}
