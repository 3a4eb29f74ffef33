//! `milliglow check --spread` and `--compare`.

use milliglow_tests::program::Folder;
use serde_json::Value;

/// One channel of 1 MHz from 1 % up: quick. Invented.
const SMALL: &str = r#"schema = 1
name = "small"
tick_hz = 1_000_000
control_hz = 1_000
full_output_cd_m2 = 100.0

[curve]
kind = "exponential"
depth = 1_000
tail_levels = 4_096

[[channels]]
name = "white"
flux_lm = 100.0
x = 0.44
y = 0.4

[recipes]
full = { white = 1.0 }

[spread]
flux_percent = 4.0

[requirements]
lowest_light_percent = 1.0
"#;

fn folder() -> Folder {
    let folder = Folder::new();
    folder.write("small.toml", SMALL);
    folder
}

#[test]
fn both_stand_behind_the_verdicts_in_every_form() {
    let folder = folder();
    let ended = folder.run(&["check", "small.toml", "--spread=20", "--compare"]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{}", ended.out);
    assert!(ended.out.lines().all(|line| line.chars().count() <= 80));
    let order = [
        "lowest light",
        "95 % of 20 units",
        "side by side",
        "plain analog",
        "report: ",
    ];
    let places = order.map(|words| ended.out.find(words).unwrap_or_else(|| panic!("{words}")));
    assert!(places.is_sorted(), "{}", ended.out);
    let page = folder.read("milliglow-report/small/report.html");
    assert!(page.contains("Spread of units") && page.contains("No-effect margin against light"));
    let json: Value =
        serde_json::from_str(&folder.read("milliglow-report/small/check.json")).unwrap();
    assert_eq!(json["spread"]["units"], 20);
    let held = json["spread"]["places"].as_array().unwrap();
    assert_eq!(held.len(), 4, "one recipe at four test lights");
    let flux = held[0]["design_values"]["flux_error"].as_f64().unwrap();
    assert!((0.03..0.04).contains(&flux), "{flux}");
    let ways = json["comparison"]["ways"].as_array().unwrap();
    assert_eq!(ways.len(), 8);
    assert!(
        ways[1]["worst"]["no_effect_margin"]["value"]
            .as_f64()
            .unwrap()
            > 3.0
    );
    assert_eq!(json["comparison"]["analog"]["lights"][3]["light"], 0.01);
}

#[test]
fn neither_stands_where_nobody_asked() {
    let ended = folder().run(&["check", "small.toml", "--json"]);
    let json: Value = serde_json::from_str(&ended.out).unwrap();
    assert!(json.get("spread").is_none() && json.get("comparison").is_none());
}

#[test]
fn impossible_numbers_of_units_are_refused() {
    for units in ["0", "100001", "-3", "many"] {
        let folder = folder();
        let ended = folder.run(&["check", "small.toml", &format!("--spread={units}")]);
        assert_eq!(ended.code, 2, "{units}");
        assert!(ended.err.contains("--spread"), "{}", ended.err);
        assert_eq!(folder.names(), ["small.toml"]);
    }
}
