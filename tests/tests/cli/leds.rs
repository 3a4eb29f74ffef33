//! What `check` makes of LEDs whose light decays, and whose efficacy and colour follow their current.

use crate::drivers::{checked, value, worst};
use milliglow_sim::colour::{Uv, Xy};
use milliglow_tests::program::Folder;
use serde_json::Value;

/// A warm and a cool white channel, the warm one with more keys; figures invented.
fn luminaire(warm: &str) -> String {
    format!(
        r#"schema = 1
name = "bench"
tick_hz = 1_000_000
tick_tolerance_percent = 0.0
control_hz = 1_000
full_output_cd_m2 = 200.0

[curve]
kind = "exponential"
depth = 1_000
tail_levels = 1_024

[[channels]]
name = "warm"
flux_lm = 100.0
x = 0.46
y = 0.41
{warm}

[[channels]]
name = "cool"
flux_lm = 100.0
x = 0.31
y = 0.33

[recipes]
white = {{ warm = 1.0, cool = 0.5 }}
"#
    )
}

/// Nothing but a file is left behind by a bad key: one error, its place, what is allowed.
#[test]
fn a_bad_key_gives_one_error() {
    let knot = "efficacy_percent = 110, x = 0.46, y = 0.41";
    let faults = [
        (
            "light_decay = [{ percent = 60, time_constant_us = 8 }, { percent = 50, time_constant_us = 1 }]".to_owned(),
            ["more light decays than there is", "at most 40 %, what is left of the light"],
        ),
        (
            "light_decay = [{ percent = 60, time_constant_us = 2e6 }]".to_owned(),
            ["the value of `time_constant_us` is not allowed", "a number, 0.001 to 1_000_000 us"],
        ),
        (
            "light_decay = [{ percent = 60 }]".to_owned(),
            ["missing key `time_constant_us`", "time_constant_us = 0.065"],
        ),
        (
            format!("over_current = [{{ current_percent = 100, {knot} }}]"),
            ["the value of `current_percent` is not allowed", "a number, 0.01 to 99 %"],
        ),
        (
            format!("over_current = [{{ current_percent = 50, {knot} }}, {{ current_percent = 20, {knot} }}]"),
            ["the currents do not rise", "above 50 %, the knot before"],
        ),
        (
            format!("over_current = [{{ current_percent = 98, {knot} }}]"),
            ["the light falls as the current rises from 98 % to 100 %", "an efficacy that falls less than the current rises"],
        ),
        (
            "over_current = [{ current_percent = 50, efficacy_percent = 110, x = 0.9, y = 0.4 }]".to_owned(),
            ["no real light has the chromaticity (0.9, 0.4)", "CIE 1931 spectral locus"],
        ),
        (
            "operating = [{ from_light_percent = 0, current_ratio = 8 }]".to_owned(),
            ["the last row is not of the full current", "1 in the last row"],
        ),
        (
            "operating = [{ from_light_percent = 0, range_ratio = 8, current_ratio = 8 }, { from_light_percent = 2, range_ratio = 8 }, { from_light_percent = 5 }]".to_owned(),
            ["two rows of one set point have two currents", "8, as the row before"],
        ),
    ];
    for (keys, said) in faults {
        let folder = Folder::new();
        folder.write("bench.toml", &luminaire(&keys));
        let ended = folder.run(&["check", "bench.toml"]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{keys}");
        for word in said {
            assert!(
                ended.err.contains(word),
                "{keys}: no {word} in\n{}",
                ended.err
            );
        }
        assert_eq!(ended.err.matches("error:").count(), 1, "{}", ended.err);
        assert!(ended.err.contains("bench.toml:"), "{}", ended.err);
        assert_eq!(folder.names(), ["bench.toml"], "{keys}");
    }
}

/// One channel that pulses 1 000 times a second at 0.1 %: its lines, and SVM with them, are weaker by 1 / sqrt(1 + (2 pi f tau)^2).
#[test]
fn a_decay_takes_of_the_lines_and_leaves_the_mean() {
    let alone =
        |decay: &str| checked(&luminaire(decay).replace("warm = 1.0, cool = 0.5", "warm = 1.0"));
    let prompt = alone("");
    let late = alone("light_decay = [{ percent = 100, time_constant_us = 200 }]");
    let deepest = |json: &Value| json["lights"].as_array().unwrap().last().unwrap().clone();
    let margin = |json: &Value| {
        let practice = &deepest(json)["ieee1789"];
        let figure = |key: &str| practice[key].as_f64().unwrap();
        (figure("worst_frequency_hz"), figure("worst_margin"))
    };
    let ((hertz, without), (other_hertz, with)) = (margin(&prompt), margin(&late));
    assert_eq!(hertz, other_hertz);
    assert!((hertz / 1_000.0 - 1.0).abs() < 0.01, "{hertz}");
    let turns = std::f64::consts::TAU * hertz * 200e-6;
    let left = 1.0 / (1.0 + turns * turns).sqrt();
    assert!(
        (with / without / left - 1.0).abs() < 1e-6,
        "{with} {without} {left}"
    );
    let mean = |json: &Value| deepest(json)["mean"].as_f64().unwrap();
    assert!((mean(&late) / mean(&prompt) - 1.0).abs() < 1e-3);
    // The swing tick by tick: the whole of it, and what 200 us leave of pulses of 1 us every ms.
    let swing = |json: &Value| deepest(json)["modulation_percent"].as_f64().unwrap();
    assert!(
        swing(&late) < swing(&prompt),
        "{} {}",
        swing(&late),
        swing(&prompt)
    );
    assert_eq!(
        value(worst(&late, "average_error")),
        value(worst(&prompt, "average_error"))
    );
}

/// An eighth of the current up to 5 % of the channel's light, there 12 % more efficacy and another colour.
fn two_ranges(ratios: &str) -> String {
    format!(
        "over_current = [{{ current_percent = 12.5, efficacy_percent = 112, x = 0.466, y = 0.407 }}]
operating = [{{ from_light_percent = 0, {ratios} }}, {{ from_light_percent = 5 }}]"
    )
}

/// u'v' of both channels at lights of 1 and 1/2, by hand: X, Y and Z of each added up.
fn mixed(warm: Xy, light: f64) -> Uv {
    let cool = Xy { x: 0.31, y: 0.33 };
    let (one, other) = (light / warm.y, 0.5 / cool.y);
    let sum = one + other;
    let x = (one * warm.x + other * cool.x) / sum;
    let y = (one * warm.y + other * cool.y) / sum;
    let under = -2.0 * x + 12.0 * y + 3.0;
    Uv {
        u: 4.0 * x / under,
        v: 9.0 * y / under,
    }
}

#[test]
fn a_set_point_of_another_efficacy_steps_until_its_ratio_is_calibrated() {
    let (full, lower) = (Xy { x: 0.46, y: 0.41 }, Xy { x: 0.466, y: 0.407 });
    // The firmware takes the ratio of the currents for that of the light: its light is 12 % too high.
    let as_current = checked(&luminaire(&two_ranges(
        "range_ratio = 8, current_ratio = 8",
    )));
    let step = worst(&as_current, "range_step");
    assert_eq!(step["outcome"], "fail");
    let worst_step = value(step);
    assert!(
        (worst_step - 0.12).abs() < 1e-4 || (worst_step - (1.0 - 1.0 / 1.12)).abs() < 1e-4,
        "{step}"
    );
    let remedy = step["remedy"].as_str().unwrap();
    // 8 / 1.12.
    assert!(remedy.contains("range_ratio = 7.14286"), "{remedy}");
    let colour = value(worst(&as_current, "range_colour"));
    let by_hand = mixed(lower, 1.12).distance(mixed(full, 1.0));
    assert!((colour / by_hand - 1.0).abs() < 1e-3, "{colour} {by_hand}");

    // One calibration value takes the light's step; what the LED's colour does stays.
    let calibrated = checked(&luminaire(&two_ranges(
        "range_ratio = 7.142857142857143, current_ratio = 8",
    )));
    let step = worst(&calibrated, "range_step");
    assert_eq!(step["outcome"], "pass", "{step}");
    assert!(value(step) < 1e-5, "{step}");
    let colour = worst(&calibrated, "range_colour");
    let by_hand = mixed(lower, 1.0).distance(mixed(full, 1.0));
    assert!(
        (value(colour) / by_hand - 1.0).abs() < 1e-3,
        "{colour} {by_hand}"
    );
    assert_eq!(colour["outcome"], "fail");
    assert!(
        colour["remedy"]
            .as_str()
            .unwrap()
            .contains("another colour"),
        "{colour}"
    );
    // Colour while dimming strays by the same.
    let shift = value(worst(&calibrated, "colour_shift"));
    assert!((shift / by_hand - 1.0).abs() < 1e-3, "{shift} {by_hand}");

    // Without a current the ratio is that of the light, whatever current that takes.
    let of_light = checked(&luminaire(&two_ranges("range_ratio = 7.142857142857143")));
    assert!(value(worst(&of_light, "range_step")) < 1e-5);
    let same = value(worst(&of_light, "range_colour"));
    assert!((same / by_hand - 1.0).abs() < 1e-3, "{same} {by_hand}");
    let average = value(worst(&of_light, "average_error"));
    assert!(average < 1e-3, "{average}");
}

#[test]
fn what_the_file_says_of_leds_stands_among_the_parameters() {
    let json = checked(&luminaire(&format!(
        "light_decay = [{{ percent = 60, time_constant_us = 8 }}]\n{}",
        two_ranges("range_ratio = 7.5, current_ratio = 8")
    )));
    let warm = &json["parameters"]["channels"][0];
    assert_eq!(warm["light_decay"][0]["part"], 0.6);
    assert!((warm["light_decay"][0]["constant_s"].as_f64().unwrap() - 8e-6).abs() < 1e-18);
    assert_eq!(warm["over_current"].as_array().unwrap().len(), 2);
    assert_eq!(warm["over_current"][0]["current"], 0.125);
    assert_eq!(warm["operating"][0]["current_ratio"], 8.0);
    let cool = &json["parameters"]["channels"][1];
    assert!(cool["light_decay"].as_array().unwrap().is_empty() && cool["over_current"].is_null());
}
