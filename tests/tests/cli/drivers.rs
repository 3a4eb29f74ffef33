//! What `check` says of drivers and operating tables.

use milliglow_tests::program::Folder;
use serde_json::Value;

/// One white channel; figures invented.
fn luminaire(tick_hz: u32, operating: &str, driver: &str) -> String {
    format!(
        r#"schema = 1
name = "bench"
tick_hz = {tick_hz}
control_hz = 1_000
full_output_cd_m2 = 200.0

[curve]
kind = "exponential"
depth = 1_000
tail_levels = 1_024

[operating]
{operating}

[[channels]]
name = "white"
flux_lm = 100.0
x = 0.44
y = 0.4
driver = {{ {driver} }}

[recipes]
white = {{ white = 1.0 }}
"#
    )
}

pub(crate) fn checked(text: &str) -> Value {
    let folder = Folder::new();
    folder.write("bench.toml", text);
    let ended = folder.run(&["check", "bench.toml", "--json"]);
    assert_eq!(ended.err, "");
    serde_json::from_str(&ended.out).unwrap()
}

/// The worst verdict of a metric.
pub(crate) fn worst<'j>(json: &'j Value, id: &str) -> &'j Value {
    let verdicts = json["verdicts"].as_array().unwrap();
    let is_worst = |verdict: &&Value| {
        verdict["id"] == id && verdict["at"].as_str().unwrap().starts_with("worst: ")
    };
    verdicts
        .iter()
        .find(is_worst)
        .unwrap_or_else(|| panic!("{id}"))
}

pub(crate) fn value(verdict: &Value) -> f64 {
    verdict["value"].as_f64().unwrap()
}

/// (600 - 0) ns / 2 of a tick of 1 us.
const THIRD_OF_A_TICK: &str = r#"kind = "slew", rise_ns = 600.0"#;

/// Every Level from 0.1 to 100 % is in the worst; the table has the test lights.
#[test]
fn edges_that_take_30_percent_of_a_tick_are_given_back_within_a_thousandth() {
    let json = checked(&luminaire(1_000_000, "", THIRD_OF_A_TICK));
    let average = worst(&json, "average_error");
    assert_eq!(average["outcome"], "pass");
    assert!(value(average) < 1e-3, "{average}");
    let follows = worst(&json, "driver_follows");
    assert_eq!(follows["outcome"], "pass", "{follows}");
    let lights = json["drivers"].as_array().unwrap();
    assert_eq!(lights.len(), 5);
    for light in lights {
        let channel = &light["channels"][0];
        let asked = light["light"].as_f64().unwrap();
        let without = channel["light_error_uncorrected"].as_f64().unwrap();
        // As many edges as ones below half density, and as zeros above.
        let expected = 0.3 * (1.0 - asked).min(asked) / asked;
        assert!((without - expected).abs() < 2e-3, "{light}");
        assert!(channel["light_error"].as_f64().unwrap() < 1e-3, "{light}");
    }
    let uncorrected = checked(&luminaire(
        1_000_000,
        "edge_correction = false",
        THIRD_OF_A_TICK,
    ));
    let average = worst(&uncorrected, "average_error");
    assert_eq!(average["outcome"], "fail");
    assert!((value(average) - 0.3).abs() < 1e-3, "{average}");
}

const TWO_ROWS: &str = "rows = [
  { from_light_percent = 0.0, range_ratio = 8.0 },
  { from_light_percent = 10.0, stretch = 2 },
]";

#[test]
fn a_change_of_range_and_stretch_makes_no_step_unless_edges_are_not_given_back() {
    let settling = "settling_us = 100.0";
    let with = checked(&luminaire(
        1_000_000,
        &format!("{settling}\n{TWO_ROWS}"),
        THIRD_OF_A_TICK,
    ));
    let (step, colour) = (worst(&with, "range_step"), worst(&with, "range_colour"));
    assert_eq!(
        (&step["outcome"], &colour["outcome"]),
        (&"pass".into(), &"pass".into())
    );
    assert_eq!(
        (&step["limit"], &step["source"]),
        (&0.002.into(), &"our default".into())
    );
    let told = with["verdicts"].as_array().unwrap().iter();
    let pause = told.filter(|verdict| {
        verdict["id"] == "dark_gap" && verdict["reason"].as_str().unwrap().contains("settles")
    });
    assert_eq!(pause.count(), 2, "the recipe, and the worst");
    let operating = format!("edge_correction = false\n{TWO_ROWS}");
    let without = checked(&luminaire(1_000_000, &operating, THIRD_OF_A_TICK));
    let step = worst(&without, "range_step");
    assert_eq!(step["outcome"], "fail");
    assert!(
        step["remedy"].as_str().unwrap().contains("edge_correction"),
        "{step}"
    );
}

#[test]
fn edges_and_pulses_are_counted() {
    let json = checked(&luminaire(1_000_000, TWO_ROWS, THIRD_OF_A_TICK));
    let deepest = &json["drivers"][4];
    let channel = &deepest["channels"][0];
    assert_eq!(
        (
            &channel["row"],
            &channel["range_ratio"],
            &channel["stretch"]
        ),
        (&0.into(), &8.0.into(), &1.into())
    );
    // 0.1 % at an eighth of the current, 30 % given back: 11 429 pulses a second, two edges each.
    let edges = channel["edges_hz"].as_f64().unwrap();
    assert!((edges / (2.0 * 8e3 / 0.7) - 1.0).abs() < 2e-3, "{edges}");
    assert_eq!(channel["shortest_pulse_s"], 1e-6);
    let bright = &json["drivers"][1]["channels"][0];
    assert_eq!((&bright["row"], &bright["stretch"]), (&1.into(), &2.into()));
    assert!(
        json["drivers"][0]["channels"][0]["shortest_pulse_s"].is_null(),
        "an unbroken 1"
    );
}

#[test]
fn the_report_draws_currents_rows_and_what_edges_take() {
    let folder = Folder::new();
    folder.write(
        "bench.toml",
        &luminaire(1_000_000, TWO_ROWS, THIRD_OF_A_TICK),
    );
    folder.run(&["check", "bench.toml", "--report", "r"]);
    let page = folder.read("r/report.html");
    for text in [
        "bars are the stream",
        "Operating rows",
        "What edges take",
        "range 1/8, 1 tick",
    ] {
        assert!(page.contains(text), "{text}");
    }
    assert!(
        folder
            .read("r/supply_lines.csv")
            .starts_with("recipe,light,frequency_hz,amplitude\n")
    );
}
