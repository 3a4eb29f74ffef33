//! `milliglow check`.

use milliglow_tests::program::Folder;
use serde_json::Value;

use crate::shipped;

#[test]
fn the_built_in_luminaire_passes_and_reports() {
    let folder = Folder::new();
    let ended = folder.run(&["check"]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{}", ended.out);
    assert!(ended.out.lines().all(|line| line.chars().count() <= 80));
    assert!(
        !ended.out.contains('\u{1b}'),
        "no colour where nobody looks"
    );
    let last = ended.out.lines().last().unwrap();
    assert_eq!(last, "report: milliglow-report/cove-light/report.html");
    let page = folder.read("milliglow-report/cove-light/report.html");
    assert!(page.contains("cove light") && page.contains("<svg"));
    insta::assert_snapshot!("built_in", ended.out);
}

#[test]
fn the_first_draft_fails_and_says_what_mends_it() {
    let ended = Folder::new().run(&["check", &shipped("cove-light-first-draft")]);
    assert_eq!(ended.code, 1);
    insta::assert_snapshot!("first_draft", ended.out);
}

/// The largest number that the advice gives after some words.
fn told(out: &str, words: &str) -> u32 {
    let number = |rest: &str| -> String {
        rest.chars()
            .take_while(|c| c.is_ascii_digit() || *c == '_')
            .collect()
    };
    let joined = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let numbers = joined
        .split(words)
        .skip(1)
        .map(|rest| number(rest).replace('_', "").parse().unwrap());
    numbers
        .max()
        .unwrap_or_else(|| panic!("no advice on {words}"))
}

#[test]
fn the_first_draft_mended_as_told_passes() {
    let folder = Folder::new();
    let told_all = folder
        .run(&["check", &shipped("cove-light-first-draft"), "--all"])
        .out;
    assert!(told_all.contains("flux_correction = true"), "{told_all}");
    let draft = std::fs::read_to_string(shipped("cove-light-first-draft")).unwrap();
    let mended = [
        (
            "control_hz = 50 ",
            format!("control_hz = {} ", told(&told_all, "control_hz to ")),
        ),
        (
            "depth = 1_000 ",
            format!(
                "depth = 1_000\ntail_levels = {} ",
                told(&told_all, "tail_levels = ")
            ),
        ),
        ("order = 2 ", "order = 1 ".to_owned()),
        ("dither_steps = 1 ", "dither_steps = 0 ".to_owned()),
        (
            "celsius = 45.0\n",
            "celsius = 45.0\nflux_correction = true\n".to_owned(),
        ),
        (
            "tick_hz = 250_000 ",
            format!("tick_hz = {} ", told(&told_all, "tick_hz to ")),
        ),
    ];
    let text = mended.iter().fold(draft, |text, (wrong, right)| {
        assert!(text.contains(wrong), "{wrong}");
        text.replace(wrong, right)
    });
    folder.write("mended.toml", &text);
    let ended = folder.run(&["check", "mended.toml"]);
    assert_eq!(ended.code, 0, "{}", ended.out);
}

#[test]
fn every_shipped_luminaire_but_the_first_draft_passes() {
    for name in ["cove-light", "aisle-marker", "desk-light"] {
        let ended = Folder::new().run(&["check", &shipped(name), "--quiet"]);
        assert_eq!(
            (ended.code, ended.out.as_str()),
            (0, ""),
            "{name}: {}",
            ended.err
        );
    }
}

#[test]
fn json_is_one_document_with_stable_keys() {
    let folder = Folder::new();
    let ended = folder.run(&["check", "--json"]);
    assert_eq!(ended.code, 0);
    let json: Value = serde_json::from_str(&ended.out).unwrap();
    assert_eq!(json["schema_version"], 1);
    let keys = |value: &Value| {
        value
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect::<Vec<_>>()
    };
    assert_eq!(
        keys(&json),
        [
            "schema_version",
            "tool",
            "input",
            "parameters",
            "verdicts",
            "lights",
            "cameras",
            "drivers",
            "buck_designs",
            "warm",
            "chip",
            "colours",
            "white_fades",
            "bands",
            "summary"
        ]
    );
    assert_eq!(json["parameters"]["tick_hz"], 750_000);
    let row = [
        "id", "name", "at", "value", "limit", "unit", "bound", "margin", "outcome", "source",
        "reason", "remedy",
    ];
    for verdict in json["verdicts"].as_array().unwrap() {
        assert_eq!(keys(verdict), row);
        assert!(["pass", "fail", "not_judged"].contains(&verdict["outcome"].as_str().unwrap()));
    }
    let lights = json["lights"].as_array().unwrap();
    assert_eq!(lights.len(), 15, "three recipes at five test lights");
    for light in lights {
        for key in [
            "mean",
            "modulation_percent",
            "flicker_index",
            "svm",
            "pst_lm",
        ] {
            assert!(light[key].is_f64(), "{key}: {light}");
        }
        assert!(
            light["ieee1789"]["low_risk"].is_boolean()
                && light["ieee1789"]["no_effect"].is_boolean()
        );
    }
    let dimmest = &lights[4];
    assert_eq!(
        (&dimmest["recipe"], &dimmest["light"]),
        (&"evening".into(), &0.001.into())
    );
    assert!(dimmest["ieee1789"]["worst_margin"].as_f64().unwrap() > 0.0);
    assert!(dimmest["dominant_frequency_hz"].as_f64().unwrap() > 3000.0);
    assert_eq!(
        folder.read("milliglow-report/cove-light/check.json").trim(),
        ended.out.trim()
    );
}

#[test]
fn every_metric_is_judged_at_the_test_lights_and_at_its_worst() {
    let ended = Folder::new().run(&["check", "--json"]);
    let json: Value = serde_json::from_str(&ended.out).unwrap();
    let rows = json["verdicts"].as_array().unwrap();
    let ids = [
        "average_error",
        "depth_error",
        "wrong_way_steps",
        "light_step",
        "first_lit_light",
        "last_lit_light",
        "arrival_spread",
        "arrival_error",
        "colour_shift",
        "dark_gap",
        "pulse_rate",
        "svm",
        "ieee1789_low_risk",
        "ieee1789_no_effect",
        "below_90_hz",
        "visibility",
        "step_jnd",
        "camera_bands",
    ];
    for id in ids {
        let places: Vec<_> = rows
            .iter()
            .filter(|row| row["id"] == id)
            .map(|row| row["at"].as_str().unwrap())
            .collect();
        assert!(
            places.iter().any(|at| at.starts_with("worst: ")),
            "{id}: {places:?}"
        );
    }
    for light in ["100 %", "50 %", "10 %", "1 %", "0.1 %"] {
        let at = format!("evening, {light}");
        let held = rows.iter().filter(|row| row["at"] == at.as_str()).count();
        assert!(held >= 4, "{at}: {held}");
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let files = [
        "report.html",
        "check.json",
        "script.csv",
        "curve.csv",
        "pulse_rates.csv",
        "verdicts.csv",
        "flicker.csv",
        "lines.csv",
    ];
    let once = Folder::new();
    let again = Folder::new();
    once.run(&["check", "--report", "r"]);
    again.run(&["check", "--report", "r"]);
    for file in files {
        let name = format!("r/{file}");
        assert!(once.read(&name) == again.read(&name), "{file} differs");
    }
}

#[test]
fn all_shows_every_row() {
    let ended = Folder::new().run(&["check", "--all"]);
    assert_eq!(
        ended.out.matches(" evening, 0.1 %").count(),
        16,
        "{}",
        ended.out
    );
    assert!(ended.out.lines().all(|line| line.chars().count() <= 80));
}
