//! Everything that shows a result of `measure`: terminal, JSON and one HTML page with plots.

mod html;
mod json;
mod words;

pub use html::html;
pub use json::json;
pub use words::words;

use std::path::Path;

use super::FolderError;
use super::folder::write_files;
use crate::measure::{Compared, Measured};

/// Writes `report.html` and `measure.json` into `folder`, making its parents and replacing an older report.
///
/// # Errors
/// When the folder exists and is not ours, or the system refuses.
pub fn write(measured: &Measured, compared: &[Compared], folder: &Path) -> Result<(), FolderError> {
    let files = [
        ("report.html", html(measured, compared)),
        ("measure.json", format!("{:#}\n", json(measured, compared))),
    ];
    write_files(&files, folder)
}
