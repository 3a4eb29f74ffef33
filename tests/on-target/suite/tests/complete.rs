//! The suite calls every public function of the core, by name, but for those that are tested on this machine only so far.

use std::fs;
use std::path::Path;

/// Files of the core whose functions have no vectors yet.
const WITHOUT_VECTORS: [&str; 3] = ["flux_correction", "output", "solve.rs"];

fn has_vectors(path: &Path) -> bool {
    !WITHOUT_VECTORS.iter().any(|name| path.ends_with(name))
}

fn sources(folder: &Path) -> String {
    let entries = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path());
    let entries = entries.filter(|path| has_vectors(path));
    entries.fold(String::new(), |text, path| {
        let more = if path.is_dir() {
            sources(&path)
        } else {
            fs::read_to_string(&path).expect("text")
        };
        text + &more
    })
}

/// Names after `pub fn` and `pub const fn`; those that only the crate sees are `pub(..) fn`.
fn public_functions(source: &str) -> Vec<&str> {
    let lines = source.lines().map(str::trim_start);
    let heads = lines.filter_map(|line| {
        line.strip_prefix("pub fn ")
            .or(line.strip_prefix("pub const fn "))
    });
    heads
        .filter_map(|head| head.split(['(', '<']).next())
        .collect()
}

fn calls(source: &str, name: &str) -> bool {
    let is_part_of_name = |next: char| next.is_alphanumeric() || next == '_';
    let follows = |before: &str| before.ends_with('.') || before.ends_with("::");
    source.match_indices(name).any(|(at, _)| {
        let (before, after) = (&source[..at], &source[at + name.len()..]);
        follows(before) && !after.starts_with(is_part_of_name)
    })
}

#[test]
fn every_public_function_is_called() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (core, suite) = (
        sources(&here.join("../../../core/src")),
        sources(&here.join("src")),
    );
    let functions = public_functions(&core);
    assert!(functions.len() > 50, "found only {functions:?}");
    let missing: Vec<_> = functions
        .iter()
        .filter(|name| !calls(&suite, name))
        .collect();
    assert!(
        missing.is_empty(),
        "public functions that no vector calls: {missing:?}"
    );
}
