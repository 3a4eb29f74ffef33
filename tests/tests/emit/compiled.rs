//! C of a luminaire whose script goes through as many recipes as the C interface takes, with flux correction: gcc takes it, if there is one.

use std::fmt::Write as _;
use std::process::Command;

use milliglow_tests::program::Folder;

use crate::in_project;

/// The cove light with a fade of its script through so many recipes on the way.
fn through(folder: &Folder, recipes: usize) {
    let cove = std::fs::read_to_string(in_project("host-sim/luminaires/cove-light.toml")).unwrap();
    let mut way = String::from("through = [\n");
    for k in 1..=recipes {
        let warm = k as f64 / 20.0;
        writeln!(
            way,
            "    {{ red = {:.2}, green = 0.5, warm = {warm} }},",
            1.0 - warm
        )
        .unwrap();
    }
    let (before, after) = cove.split_once("through = [\n").unwrap();
    let (_, after) = after.split_once("]\n").unwrap();
    folder.write("long.toml", &format!("{before}{way}]\n{after}"));
}

const EMIT: [&str; 6] = ["emit", "long.toml", "--language", "c", "--output", "."];

#[test]
fn a_way_through_seven_recipes() {
    let folder = Folder::new();
    through(&folder, 7);
    let ended = folder.run(&EMIT);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    let source = folder.read("cove_light.c");
    let counts = source.matches(".leg_count = 8,").count();
    assert_eq!(counts, 1, "seven recipes on the way and the last one");
    assert!(source.contains("const milliglow_flux_setting cove_light_flux_correction"));
    let include = in_project("core/ffi/include");
    let strict = ["-std=c11", "-Wall", "-Wextra", "-Werror", "-c", "-I"];
    let gcc = Command::new("gcc")
        .args(strict)
        .arg(include)
        .arg("cove_light.c")
        .current_dir(folder.path())
        .output();
    match gcc {
        Ok(output) => assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        ),
        Err(error) => eprintln!("not compiled: gcc: {error}"),
    }
}

#[test]
fn a_longer_way_is_refused() {
    let folder = Folder::new();
    through(&folder, 8);
    let ended = folder.run(&EMIT);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    let said = "too many recipes for C; allowed are at most 7 in `through`";
    assert!(ended.err.contains(said), "{}", ended.err);
    assert_eq!(folder.names(), ["long.toml"]);
    let rust = folder.run(&["emit", "long.toml", "--output", "."]);
    assert_eq!((rust.code, rust.err.as_str()), (0, ""));
}
