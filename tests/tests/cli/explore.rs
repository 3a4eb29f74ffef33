//! `milliglow explore`.

use milliglow_sim::description::{BUILT_IN, parse};
use milliglow_tests::program::{Ended, Folder};
use serde_json::Value;

use crate::shipped;

/// A small search: 6, 8, 9.6 and 12 MHz, of which the last two do.
const SMALL: &str = "\n[explore]\ntick_hz_min = 6_000_000\ntick_hz_max = 16_000_000\norders = [1]\n\
                     stretches = [1, 16]\nstretch_from_percent = [5.0]\n";

fn draft(keys: &str) -> String {
    let text = std::fs::read_to_string(shipped("cove-light-first-draft")).unwrap();
    text + keys
}

/// Explores a luminaire of this text.
fn explored(folder: &Folder, text: &str, more: &[&str]) -> Ended {
    folder.write("light.toml", text);
    folder.run(&[&["explore", "light.toml"], more].concat())
}

fn json(folder: &Folder, text: &str) -> (i32, Value) {
    let ended = explored(folder, text, &["--json"]);
    let document =
        serde_json::from_str(&ended.out).unwrap_or_else(|_| panic!("{}{}", ended.out, ended.err));
    (ended.code, document)
}

#[test]
fn help_names_every_option() {
    let ended = Folder::new().run(&["explore", "--help"]);
    assert_eq!(ended.code, 0);
    insta::assert_snapshot!("explore_help", ended.out);
}

/// The promise of the search: what it finds for the faulty first draft passes `check` in all that it judged.
#[test]
fn a_design_for_the_first_draft_is_found_written_and_passes() {
    let folder = Folder::new();
    let ended = explored(&folder, &draft(SMALL), &["--toml", "1", "found.toml"]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{}", ended.out);
    assert!(
        ended.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        ended.out
    );
    insta::assert_snapshot!("explore_first_draft", ended.out);
    let checked = folder.run(&["check", "found.toml", "--json"]);
    let document: Value = serde_json::from_str(&checked.out).unwrap();
    for id in [
        "svm",
        "ieee1789_no_effect",
        "ieee1789_low_risk",
        "camera_bands",
        "pulse_rate",
        "dark_gap",
        "below_90_hz",
    ] {
        let verdicts = document["verdicts"].as_array().unwrap().iter();
        // Fades are left to the control rate and the curve.
        let steady = verdicts.filter(|verdict| {
            verdict["id"] == id && !verdict["at"].as_str().unwrap().contains("script")
        });
        let outcomes: Vec<_> = steady.map(|verdict| &verdict["outcome"]).collect();
        assert!(
            !outcomes.is_empty() && outcomes.iter().all(|outcome| *outcome == "pass"),
            "{id}: {outcomes:?}"
        );
    }
    let text = folder.read("found.toml");
    assert!(
        text.contains("# \"faster than any eye\""),
        "comments stay: {text}"
    );
    assert_eq!(parse(&text, "found").unwrap().tick_hz, 12_000_000);
    // With the control rate, the curve and the flux mended as well, all of it passes.
    let mended = text.replace("control_hz = 50 ", "control_hz = 1_000 ");
    let mended = mended.replace("depth = 1_000 ", "depth = 1_000\ntail_levels = 4_096 ");
    let mended = mended.replace("celsius = 45.0", "celsius = 45.0\nflux_correction = true");
    folder.write("mended.toml", &mended);
    let ended = folder.run(&["check", "mended.toml"]);
    assert_eq!(ended.code, 0, "{}", ended.out);
}

#[test]
fn a_row_alone_goes_to_standard_output_and_must_be_one() {
    let folder = Folder::new();
    let ended = explored(&folder, &draft(SMALL), &["--toml", "2"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(parse(&ended.out, "found").unwrap().tick_hz, 16_000_000);
    for (arguments, said) in [
        (&["--toml", "9"][..], "no such row; allowed are 1 to 2"),
        (&["--toml", "0"], "allowed is the number of a row, from 1"),
        (
            &["--toml", "1", "light.toml"],
            "light.toml: cannot be written",
        ),
    ] {
        let ended = explored(&folder, &draft(SMALL), arguments);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments:?}");
        assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
    }
    assert_eq!(folder.read("light.toml"), draft(SMALL));
}

#[test]
fn the_document_has_stable_keys_and_the_same_bytes_again() {
    let folder = Folder::new();
    let (code, document) = json(&folder, &draft(SMALL));
    assert_eq!((code, &document["schema_version"]), (0, &1.into()));
    let keys = |value: &Value| {
        value
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect::<Vec<_>>()
    };
    assert_eq!(
        keys(&document),
        [
            "schema_version",
            "tool",
            "input",
            "parameters",
            "searched",
            "feasible",
            "judged_in_full",
            "failed_in_full",
            "front",
            "empty"
        ]
    );
    assert_eq!(
        keys(&document["front"][0]),
        [
            "row",
            "tick_hz",
            "modulation",
            "edge_factor",
            "operating",
            "edges_hz",
            "cycles_a_tick",
            "chip_load",
            "margin",
            "over_limit"
        ]
    );
    assert_eq!(
        (&document["searched"]["candidates"], &document["feasible"]),
        (&10.into(), &4.into())
    );
    assert_eq!(document["searched"]["chip_hz_is_assumed"], true);
    // Nothing is left to find: the cache holds all, and the result is the same to the byte.
    let report = "milliglow-report/cove-light-first-draft-explore";
    let first = ["explore.json", "explore.svg", "explore-cache.jsonl"]
        .map(|file| folder.read(&format!("{report}/{file}")));
    let (_, again) = json(&folder, &draft(SMALL));
    assert_eq!(again, document);
    let other = Folder::new();
    json(&other, &draft(SMALL));
    for folder in [folder, other] {
        let second = ["explore.json", "explore.svg", "explore-cache.jsonl"]
            .map(|file| folder.read(&format!("{report}/{file}")));
        assert!(first == second);
    }
}

/// The cache's figures are used, not found again; a damaged one is told and ignored.
#[test]
fn a_search_goes_on_from_its_cache() {
    let folder = Folder::new();
    let first = explored(&folder, &draft(SMALL), &["--cache", "kept"]);
    assert_eq!(first.code, 0, "{}", first.err);
    let cache = folder.read("kept/explore-cache.jsonl");
    // As if it had been cut short, with a figure of a hopeless candidate that no search would find.
    let hopeless = cache
        .lines()
        .find(|line| line.contains("\"candidate\":0,"))
        .unwrap();
    let value: Value = serde_json::from_str(hopeless).unwrap();
    let edges = format!("\"edges_hz\":{}", value["edges_hz"]);
    let changed = cache.replacen(
        hopeless,
        &hopeless.replacen(&edges, "\"edges_hz\":12345.0", 1),
        1,
    );
    folder.write("kept/explore-cache.jsonl", &changed[..changed.len() - 9]);
    let resumed = explored(&folder, &draft(SMALL), &["--cache", "kept"]);
    assert_eq!((resumed.code, &resumed.out), (0, &first.out));
    assert!(folder.read("kept/explore-cache.jsonl").contains("12345.0"));
    folder.write("kept/explore-cache.jsonl", "no cache\n");
    let ignored = explored(&folder, &draft(SMALL), &["--cache", "kept"]);
    assert_eq!((ignored.code, &ignored.out), (0, &first.out));
    assert!(
        ignored
            .err
            .starts_with("note: kept/explore-cache.jsonl is no cache or damaged"),
        "{}",
        ignored.err
    );
}

#[test]
fn an_empty_set_names_what_stands_in_the_way_and_the_cheapest_change() {
    let slow = "\n[explore]\ntick_hz_min = 6_000_000\ntick_hz_max = 8_000_000\norders = [1]\nstretches = [1]\n";
    let folder = Folder::new();
    let (code, document) = json(&folder, &draft(slow));
    assert_eq!(code, 1);
    let empty = &document["empty"];
    assert_eq!(
        (
            document["front"].as_array().unwrap().len(),
            &empty["obstacle"]
        ),
        (0, &"pulse_rate".into())
    );
    let changes = empty["relaxations"].as_array().unwrap();
    let factors: Vec<f64> = changes
        .iter()
        .map(|change| change["factor"].as_f64().unwrap())
        .collect();
    assert!(
        !factors.is_empty() && factors.is_sorted() && factors[0] > 1.0,
        "{empty}"
    );
    // Blue pulses tick rate x 99 % x 0.001 x 0.0086 times a second: 68 Hz at 8 MHz, and 90 Hz take 10.6 MHz.
    let change = |key: &str| {
        changes
            .iter()
            .find(|change| change["key"].as_str().unwrap().starts_with(key))
            .unwrap()
    };
    let rate = change("[explore] tick_hz_max")["to"].as_f64().unwrap();
    assert!((10.56e6..11.1e6).contains(&rate), "{rate}");
    let lowest = change("[requirements] lowest_light_percent")["to"]
        .as_f64()
        .unwrap();
    assert!((0.132..0.139).contains(&lowest), "{lowest}");
    let ratio = change("[hardware] range_ratio_max")["to"].as_f64().unwrap();
    assert!((1.32..1.39).contains(&ratio), "{ratio}");
    let ended = explored(&Folder::new(), &draft(slow), &[]);
    assert_eq!(ended.code, 1);
    insta::assert_snapshot!("explore_empty", ended.out);
    // The change as told makes it feasible.
    let told = format!(
        "\n[explore]\nchip_hz = {rate}\ntick_hz_max = {rate}\norders = [1]\nstretches = [1]\n"
    );
    let ended = explored(&Folder::new(), &draft(&told), &["--quiet"]);
    assert_eq!((ended.code, ended.out.as_str()), (0, ""), "{}", ended.err);
}

#[test]
fn a_lower_range_takes_a_slower_clock() {
    let keys = "\n[hardware]\nrange_ratio_max = 8\n[explore]\ntick_hz_min = 1_000_000\ntick_hz_max = 3_000_000\norders = [1]\n\
                stretches = [1]\nrange_ratios = [1, 8]\n";
    let (code, document) = json(&Folder::new(), &draft(keys));
    assert_eq!(code, 0, "{}", document["empty"]);
    for design in document["front"].as_array().unwrap() {
        assert_eq!(design["operating"][0]["range_ratio"], 8.0, "{design}");
    }
}

#[test]
fn what_cannot_be_searched_is_refused() {
    let cases = [
        (
            "tick_hz_min = 6_000_000\ntick_hz_max = 6_000_000\norders = [1]\nstretches = [1]\nrange_ratios = [1]",
            "nothing to vary",
        ),
        (
            "tick_hz_min = 6_500_000\ntick_hz_max = 7_000_000",
            "no tick rate from 6_500_000 to 7_000_000 Hz divides",
        ),
        (
            "tick_hz_min = 1_000\ndither_steps = [0, 1, 0.5, 0.25, 0.125]\ntimer_bits = [0, 8, 9, 10, 11, 12]\n\
             stretch_from_percent = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16]\n\
             range_ratios = [2, 3, 4, 5, 6, 7, 8]\nlower_range_below_percent = [10, 20, 30, 40, 50, 60, 70, 80, 90]",
            "too many combinations: ",
        ),
    ];
    for (keys, said) in cases {
        let folder = Folder::new();
        let hardware = "\n[hardware]\nrange_ratio_max = 8\n[explore]\n";
        let ended = explored(
            &folder,
            &(BUILT_IN.to_owned() + hardware + keys + "\n"),
            &[],
        );
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{keys}");
        assert!(
            ended.err.starts_with("error: light.toml: ") && ended.err.contains(said),
            "{keys}: {}",
            ended.err
        );
        assert_eq!(folder.names(), ["light.toml"], "{keys}");
    }
    let folder = Folder::new();
    std::fs::create_dir(folder.path().join("mine")).unwrap();
    folder.write("mine/letter.txt", "dear");
    let ended = explored(&folder, BUILT_IN, &["--report", "mine"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(ended.err.contains("mine: not written"), "{}", ended.err);
}
