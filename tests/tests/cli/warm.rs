//! Colour in the warm luminaire, as `milliglow check` tells it.

use milliglow_tests::program::Folder;
use serde_json::Value;

const WARM: &str = include_str!("../../data/warm_luminaire.toml");

fn checked(text: &str) -> (Folder, Value) {
    let folder = Folder::new();
    folder.write("warm.toml", text);
    let ended = folder.run(&["check", "warm.toml", "--json"]);
    let document = serde_json::from_str(&ended.out).unwrap_or_else(|_| panic!("{}", ended.err));
    (folder, document)
}

fn verdicts(document: &Value) -> Vec<&Value> {
    let all = document["verdicts"].as_array().unwrap().iter();
    all.filter(|verdict| verdict["id"] == "colour_warm")
        .collect()
}

#[test]
fn without_correction_it_fails_and_with_it_passes() {
    let (_, plain) = checked(WARM);
    let found = verdicts(&plain);
    // Five test lights, the jump, the worst.
    assert_eq!(found.len(), 7);
    assert_eq!(found[0]["at"], "white, 100 %, warm");
    assert_eq!(found[0]["outcome"], "fail");
    assert!(
        found[0]["remedy"]
            .as_str()
            .unwrap()
            .contains("flux_correction = true")
    );
    assert_eq!(found[4]["outcome"], "pass", "{}", found[4]);
    assert_eq!(found[5]["at"], "white, 0.1 %, 1 s after full");
    assert_eq!(found[5]["outcome"], "fail");

    let (folder, corrected) =
        checked(&WARM.replace("flux_correction = false", "flux_correction = true"));
    assert!(
        verdicts(&corrected)
            .iter()
            .all(|verdict| verdict["outcome"] == "pass")
    );
    let row = &corrected["warm"]["recipes"][0];
    assert_eq!(
        (row["recipe"].as_str(), row["light"].as_f64()),
        (Some("white"), Some(1.0))
    );
    let shift = |state: &str| row[state]["delta_uv"].as_f64().unwrap();
    assert!(shift("plain") > 0.011 && shift("corrected") < 0.000_11);
    assert_eq!(corrected["warm"]["fades"].as_array().unwrap().len(), 1);
    assert!(
        (corrected["warm"]["fades"][0]["peak_power_w"]
            .as_f64()
            .unwrap()
            - 6.667)
            .abs()
            < 0.001
    );
    assert!(
        folder
            .read("milliglow-report/warm/report.html")
            .contains("The warm luminaire")
    );
}

#[test]
fn without_temperatures_it_is_not_judged_and_the_keys_are_named() {
    let without: String = WARM
        .lines()
        .filter(|line| !line.starts_with("flux_over") && !line.starts_with("thermal"))
        .map(|line| format!("{line}\n"))
        .collect();
    let (_, document) = checked(&without);
    let found = verdicts(&document);
    assert_eq!(
        (found.len(), &found[0]["outcome"]),
        (1, &Value::from("not_judged"))
    );
    let reason = found[0]["reason"].as_str().unwrap();
    assert!(
        reason.contains("add flux_over_temperature, thermal_k_per_w to every channel"),
        "{reason}"
    );
    assert_eq!(document["warm"]["recipes"].as_array().unwrap().len(), 0);
}

#[test]
fn a_table_that_does_not_rise_is_one_clear_error() {
    let folder = Folder::new();
    folder.write(
        "warm.toml",
        &WARM.replacen("celsius = 36.85", "celsius = 26.85", 1),
    );
    let ended = folder.run(&["check", "warm.toml"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(
        ended.err.contains("the temperatures do not rise"),
        "{}",
        ended.err
    );
    assert!(ended.err.contains("warm.toml:21:"), "{}", ended.err);
    assert_eq!(folder.names(), ["warm.toml"]);
}
