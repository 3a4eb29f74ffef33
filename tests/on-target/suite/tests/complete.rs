//! The suite calls every public function of the core, by name, in a file that names the function's type.

use std::fs;
use std::path::Path;

/// The sources below a folder, a text each.
fn sources(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path());
    entries
        .flat_map(|path| {
            if path.is_dir() {
                sources(&path)
            } else {
                vec![fs::read_to_string(&path).expect("text")]
            }
        })
        .collect()
}

/// The type of a line that begins `impl`, if it is one.
fn implemented(line: &str) -> Option<&str> {
    let rest = line.strip_prefix("impl")?;
    let after_generics = match rest.strip_prefix('<') {
        Some(_) => rest.split_once("> ")?.1,
        None => rest.trim_start(),
    };
    let of = after_generics
        .split_once(" for ")
        .map_or(after_generics, |(_, of)| of);
    of.split(['<', ' ']).next()
}

/// Types, none for those outside of one, and names after `pub fn` and `pub const fn`; those that only the crate sees are `pub(..) fn`.
fn public_functions(source: &str) -> Vec<(Option<&str>, &str)> {
    let (mut owner, mut functions) = (None, Vec::new());
    for line in source.lines() {
        owner = match line {
            "}" => None,
            _ => implemented(line).or(owner),
        };
        let line = line.trim_start();
        let head = line
            .strip_prefix("pub fn ")
            .or(line.strip_prefix("pub const fn "));
        if let Some(name) = head.and_then(|head| head.split(['(', '<']).next()) {
            functions.push((owner, name));
        }
    }
    functions
}

fn is_part_of_name(character: char) -> bool {
    character.is_alphanumeric() || character == '_'
}

/// Whether a name stands in a source as a whole word, after something that `follows` allows.
fn has(source: &str, name: &str, follows: impl Fn(&str) -> bool) -> bool {
    source.match_indices(name).any(|(at, _)| {
        let (before, after) = (&source[..at], &source[at + name.len()..]);
        !before.ends_with(is_part_of_name) && follows(before) && !after.starts_with(is_part_of_name)
    })
}

fn calls(source: &str, owner: Option<&str>, name: &str) -> bool {
    match owner {
        Some(owner) => {
            has(source, owner, |_| true)
                && has(source, name, |before| {
                    before.ends_with('.') || before.ends_with("::")
                })
        }
        None => ["(", "::<"]
            .iter()
            .any(|begin| source.contains(&format!("{name}{begin}"))),
    }
}

#[test]
fn every_public_function_is_called() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let core = sources(&here.join("../../../core/src"));
    let suite = sources(&here.join("src"));
    let functions: Vec<_> = core
        .iter()
        .flat_map(|core| public_functions(core))
        .collect();
    assert!(functions.len() > 250, "found only {functions:?}");
    let missing: Vec<_> = functions
        .iter()
        .filter(|(owner, name)| !suite.iter().any(|suite| calls(suite, *owner, name)))
        .collect();
    assert!(
        missing.is_empty(),
        "public functions that no vector calls: {missing:?}"
    );
}
