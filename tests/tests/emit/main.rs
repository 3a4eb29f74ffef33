//! `milliglow emit`: committed constants are what it writes, and a firmware makes of them what `check` runs.

mod command;
mod committed;
mod compiled;
mod flux;
mod streams;

#[allow(unreachable_pub, reason = "a firmware has it as a public module")]
#[path = "../../on-target/examples/src/emitted/aisle_marker.rs"]
mod aisle_marker;
#[allow(unreachable_pub, reason = "a firmware has it as a public module")]
#[path = "../../data/emitted/all_kinds.rs"]
mod all_kinds;

use std::path::PathBuf;

/// A file of the project.
fn in_project(path: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).join(path)
}
