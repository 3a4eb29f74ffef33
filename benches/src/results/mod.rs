//! The page of results: what is measured, and how it is written.

mod check;
mod chip;
mod cpu;
mod explore;
mod growth;
mod machine;
mod measure;
mod ours;
mod page;
mod program;
mod python;
mod streams;

use std::io;
use std::path::{Path, PathBuf};

use page::Page;
use program::Program;

/// Where the page and its plots go.
fn folder() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Where what is only needed on the way goes.
fn scratch() -> PathBuf {
    folder().join("../target/bench-peers")
}

/// Measures everything and writes the page; gives where it is.
///
/// # Errors
/// Of the file system, and of a program that does not run.
pub fn write(hour: bool) -> io::Result<PathBuf> {
    std::fs::create_dir_all(scratch())?;
    let mut page = Page::new(&machine::lines());
    streams::measure(&mut page)?;
    let program = Program::build()?;
    check::measure(&program, &mut page)?;
    measure::measure(&program, hour, &mut page)?;
    explore::measure(&program, &mut page)?;
    chip::quote(&mut page)?;
    page.section(
        "Where the limits are",
        include_str!("../../notes.md").trim_end(),
        "",
        "",
    );
    let path = folder().join("RESULTS.md");
    std::fs::write(&path, page.text())?;
    Ok(path)
}
