//! Scripts that loop, and flashes in them.

use milliglow_tests::program::Folder;
use serde_json::Value;

/// The file that `new` writes, its script replaced by light that is full and dark for so long in turn, over and over.
fn blinking(folder: &Folder, seconds: f64) -> String {
    let ended = folder.run(&["new", "blinking.toml", "--channels", "1"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let text = folder.read("blinking.toml");
    let looping = text.replace("script_loops = false", "script_loops = true");
    let (before, rest) = looping.split_once("[[script]]").unwrap();
    let (_, after) = rest.split_once("# Cameras").unwrap();
    let fade = |percent: f64, seconds: f64| {
        format!(
            "[[script]]\nrecipe = \"full\"\nlight_percent = {percent:?}\nseconds = {seconds:?}\n\n"
        )
    };
    let light = [(100.0, 0.0), (100.0, seconds), (0.0, 0.0), (0.0, seconds)];
    let script: String = light
        .into_iter()
        .map(|(percent, seconds)| fade(percent, seconds))
        .collect();
    format!("{before}{script}# Cameras{after}")
}

fn checked(text: &str, folder: &Folder) -> (i32, Value) {
    folder.write("looping.toml", text);
    let ended = folder.run(&["check", "looping.toml", "--json"]);
    assert_eq!(ended.err, "");
    (ended.code, serde_json::from_str(&ended.out).unwrap())
}

fn verdict<'a>(json: &'a Value, id: &str) -> &'a Value {
    let verdicts = json["verdicts"].as_array().unwrap();
    verdicts
        .iter()
        .find(|verdict| {
            verdict["id"] == id && verdict["at"].as_str().unwrap().starts_with("script")
        })
        .unwrap()
}

/// Jumps take a control step of 1 ms each, and the tick rate may be 1 % fast.
#[test]
fn a_script_that_flashes_four_times_a_second_fails_and_is_a_hazard() {
    let folder = Folder::new();
    let (code, json) = checked(&blinking(&folder, 0.125), &folder);
    assert_eq!(code, 1);
    assert_eq!(json["parameters"]["script_loops"], true);
    let flashes = verdict(&json, "flashes");
    assert_eq!(flashes["outcome"], "fail");
    let rate = flashes["value"].as_f64().unwrap();
    assert!((rate / (1.01 / 0.252) - 1.0).abs() < 0.03, "{rate}");
    assert!(
        flashes["source"]
            .as_str()
            .unwrap()
            .contains("Epilepsia 2005")
    );
    assert!(
        flashes["remedy"]
            .as_str()
            .unwrap()
            .contains("1.4 times as long")
    );
    let failed = json["verdicts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|verdict| verdict["outcome"] == "fail");
    assert_eq!(failed.count(), 1, "nothing else is wrong with it");
    let ended = folder.run(&["check", "looping.toml"]);
    let caution = ended.out.lines().next().unwrap().to_owned();
    assert!(caution.starts_with("caution: flashes at"), "{caution}");
}

#[test]
fn a_script_that_flashes_twice_a_second_passes() {
    let folder = Folder::new();
    let (code, json) = checked(&blinking(&folder, 0.25), &folder);
    let flashes = verdict(&json, "flashes");
    let rate = flashes["value"].as_f64().unwrap();
    assert!((rate / (1.01 / 0.502) - 1.0).abs() < 0.03, "{rate}");
    assert_eq!((code, flashes["outcome"].as_str()), (0, Some("pass")));
}

/// 17 rounds of 12 s are run, and the fade that begins where the script ends has its rows.
#[test]
fn a_looping_script_is_judged_for_two_hundred_seconds() {
    let folder = Folder::new();
    folder.run(&["new", "starter.toml", "--channels", "1"]);
    let text = folder
        .read("starter.toml")
        .replace("script_loops = false", "script_loops = true");
    let (code, json) = checked(&text, &folder);
    assert_eq!(code, 0);
    let again = |row: &&Value| {
        row["at"]
            .as_str()
            .unwrap()
            .starts_with("fade 1 again: full")
    };
    let rows = json["verdicts"].as_array().unwrap().iter();
    assert_eq!(rows.filter(again).count(), 6);
    let pst_lm = verdict(&json, "pst_lm");
    let reason = pst_lm["reason"].as_str().unwrap();
    let seconds: f64 = reason.split(' ').next().unwrap().parse().unwrap();
    // Settling does not count, nor light that is too dark to be answered for.
    assert!((120.0..184.0).contains(&seconds), "{reason}");
    // From dark to full once a round is a flash, too, but none that repeats fast; the tick rate may be 1 % fast.
    let flashes = verdict(&json, "flashes");
    assert!(flashes["reason"].as_str().unwrap().contains(": 17;"));
    let rate = flashes["value"].as_f64().unwrap();
    assert!((rate / (1.01 / 12.0) - 1.0).abs() < 0.001, "{rate}");
}
