//! The corpus of damaged luminaires: each is refused with one error of its own, and nothing is written.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use milliglow_tests::program::{Ended, Folder};

fn corpus() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/damaged_luminaires");
    let files = fs::read_dir(folder).expect("the corpus");
    let mut files: Vec<_> = files.map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    files
}

/// The error's first line, after a look at all of it.
#[track_caller]
fn title(name: &str, ended: &Ended) -> String {
    let said = format!("{name}: {}", ended.err);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{said}");
    assert!(!ended.err.contains("panicked"), "{said}");
    let errors = ended.err.lines().filter(|line| line.starts_with("error"));
    assert_eq!(errors.count(), 1, "{said}");
    assert!(ended.err.contains(&format!("{name}:")), "{said}");
    assert!(
        ended.err.contains("allowed: ")
            || ended.err.contains("help: ")
            || ended.err.contains("expected"),
        "{said}"
    );
    assert!(ended.err.len() < 2_000, "{said}");
    ended.err.lines().next().expect("a line").to_owned()
}

#[test]
fn each_of_the_corpus_is_refused_with_an_error_of_its_own() {
    let files = corpus();
    let mut titles = BTreeSet::new();
    for file in &files {
        let folder = Folder::new();
        let name = file.file_name().unwrap().to_str().unwrap();
        fs::copy(file, folder.path().join(name)).expect("a copy");
        let ended = folder.run(&["check", name]);
        assert!(
            titles.insert(title(name, &ended)),
            "{name} says nothing new"
        );
        assert_eq!(folder.names(), [name], "something was written");
    }
    assert!(files.len() >= 19, "{}", files.len());
}
