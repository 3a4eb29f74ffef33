//! The committed modules.

use std::fs;

use milliglow_tests::program::Folder;

use crate::in_project;

const EXAMPLES: &str = "tests/on-target/examples/src/emitted";

/// `MILLIGLOW_WRITE_EMITTED=1` writes them anew.
fn is_what_emit_writes(luminaire: &str, folder: &str, name: &str) {
    let (luminaire, folder) = (in_project(luminaire), in_project(folder));
    let luminaire = luminaire.to_str().unwrap();
    if std::env::var_os("MILLIGLOW_WRITE_EMITTED").is_some() {
        let output = folder.to_str().unwrap();
        let ended = Folder::new().run(&["emit", luminaire, "--output", output]);
        assert_eq!(ended.code, 0, "{}", ended.err);
    }
    let ended = Folder::new().run(&["emit", luminaire]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let committed = fs::read_to_string(folder.join(name)).unwrap();
    assert!(
        ended.out == committed,
        "{name} is old: write it with MILLIGLOW_WRITE_EMITTED=1 cargo test -p milliglow-tests --test emit"
    );
}

#[test]
fn of_the_cove_light() {
    is_what_emit_writes(
        "host-sim/luminaires/cove-light.toml",
        EXAMPLES,
        "cove_light.rs",
    );
}

#[test]
fn of_the_aisle_marker() {
    is_what_emit_writes(
        "host-sim/luminaires/aisle-marker.toml",
        EXAMPLES,
        "aisle_marker.rs",
    );
}

#[test]
fn of_all_kinds() {
    is_what_emit_writes(
        "tests/data/emitted/all_kinds.toml",
        "tests/data/emitted",
        "all_kinds.rs",
    );
}
