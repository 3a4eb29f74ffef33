//! The luminaires that ship and the starting files that the program writes.

use crate::schema::{as_json, schema, validator};
use milliglow_sim::description::{BUILT_IN, Description, Requirements, parse, read, starter};
use std::path::Path;

fn shipped() -> Vec<(String, Description, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/luminaires");
    let files = folder.read_dir().unwrap().map(|file| file.unwrap().path());
    // Beside them stands the log of a bus.
    files
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| {
            let (description, text) = read(&path).unwrap_or_else(|problem| panic!("{problem}"));
            (
                path.file_name().unwrap().to_str().unwrap().to_owned(),
                description,
                text,
            )
        })
        .collect()
}

fn starters() -> impl Iterator<Item = (String, Description, String)> {
    (1..=16).map(|channels| {
        let text = starter("my light", channels);
        let description =
            parse(&text, "starter.toml").unwrap_or_else(|problem| panic!("{problem}"));
        assert_eq!(description.channels.len(), channels);
        (format!("starter of {channels}"), description, text)
    })
}

#[test]
fn every_file_is_read_and_fits_the_schema() {
    let validator = validator();
    assert_eq!(shipped().len(), 7);
    for (name, _, text) in shipped().into_iter().chain(starters()) {
        let problems: Vec<String> = validator
            .iter_errors(&as_json(&text))
            .map(|error| error.to_string())
            .collect();
        assert_eq!(problems, [""; 0], "{name}");
    }
}

#[test]
fn shipped_luminaires_say_that_they_are_invented() {
    for (name, description, text) in shipped() {
        let top: String = text
            .lines()
            .take_while(|line| line.starts_with('#'))
            .collect();
        assert!(top.contains("All figures are invented"), "{name}");
        assert!(description.note.unwrap().contains("invented"), "{name}");
    }
}

#[test]
fn the_built_in_luminaire_ships_as_a_file() {
    let (_, cove, _) = shipped()
        .into_iter()
        .find(|(name, ..)| name == "cove-light.toml")
        .unwrap();
    assert_eq!(parse(BUILT_IN, "built in").unwrap(), cove);
}

/// The pulse rate of the slowest lit channel at the lowest light with the slowest clock, against its limit.
fn slowest_pulses(light: &Description) -> (f64, f64) {
    let Requirements {
        lowest_light,
        pulse_hz,
        ..
    } = light.requirements;
    let slowest_tick_hz = f64::from(light.tick_hz) * (1.0 - light.tick_tolerance);
    let shares = light.recipes.iter().flat_map(|recipe| &recipe.shares);
    // A lower set point pulses as many times more often as it gives less light.
    let ratios = light
        .channels
        .iter()
        .map(|channel| channel.rows[0].range_ratio);
    let smallest = shares
        .zip(ratios.cycle())
        .filter(|(share, _)| **share > 0.0)
        .map(|(share, ratio)| share * ratio)
        .fold(f64::MAX, f64::min);
    (slowest_tick_hz * lowest_light * smallest, pulse_hz)
}

#[test]
fn only_the_first_draft_pulses_too_slowly() {
    for (name, description, _) in shipped().into_iter().chain(starters()) {
        let (pulses, limit) = slowest_pulses(&description);
        assert_eq!(
            pulses < limit,
            name == "cove-light-first-draft.toml",
            "{name}: {pulses} Hz"
        );
    }
}

#[test]
fn the_starting_file_explains_every_key() {
    let text = starter("my light", 5);
    let comments: String = text
        .lines()
        .filter_map(|line| line.split_once('#'))
        .map(|(_, words)| words)
        .collect();
    let schema = schema();
    let tables = std::iter::once(&schema["properties"]).chain(
        schema["$defs"]
            .as_object()
            .unwrap()
            .values()
            .map(|table| &table["properties"]),
    );
    for name in tables
        .filter_map(|table| table.as_object())
        .flat_map(|table| table.keys())
    {
        let commented = |line: &str| line.starts_with(&format!("{name} =")) && line.contains('#');
        let table = text.contains(&format!("[{name}]")) || text.contains(&format!("[[{name}]]"));
        assert!(
            table || comments.contains(name) || text.lines().any(commented),
            "{name}"
        );
    }
}

#[test]
fn a_starting_file_takes_any_name_that_a_luminaire_may_have() {
    for name in [
        "plain",
        "with \"quotes\"",
        "it's 'single'",
        "größer ☀",
        "@CHANNELS@",
    ] {
        assert_eq!(parse(&starter(name, 2), "starter.toml").unwrap().name, name);
    }
    assert_eq!(starter("same", 7), starter("same", 7));
}
