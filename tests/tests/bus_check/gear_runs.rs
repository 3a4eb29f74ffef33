//! What a gear's log becomes before it is judged: which frame is heard when, and the fades that the light is told.

use super::{WHITE, gears::frame, text_of};
use milliglow::solve::{Chromaticity, Primary, TunableWhite};
use milliglow_sim::description::{Fade, LevelChoice, parse};
use milliglow_sim::run::{Course, Heard, Leg, Played, core_shares, played};

const GEAR: &str = "kind = \"iec62386\"\nshort_address = 5\nfade_time = 4\n";

fn play(bus: &str, frames: &[(f64, Vec<u8>)]) -> Played {
    let text = text_of(WHITE, bus, frames);
    let description = parse(&text, "white.toml").unwrap_or_else(|problem| panic!("{problem}"));
    played(&description).expect("a bus")
}

/// Fades one after the other, each with how it ran.
fn fades(played: &Played) -> Vec<(&Fade, &Leg)> {
    let Course::Fades(legs) = &played.course else {
        panic!("fades")
    };
    let script = &played.description.script;
    legs.iter().map(|leg| (&script[leg.fade], leg)).collect()
}

/// The Level of a control level on the logarithmic curve.
const fn place(number: u16) -> LevelChoice {
    LevelChoice::Level(259 * (number - 1) + 8)
}

/// More than there is room for at once: the first ones are heard, one a control step, each as itself.
#[test]
fn a_burst_overflows() {
    let burst: Vec<_> = (0..24).map(|k| frame(0.6, 0x0A00 | (150 + k))).collect();
    let after = [burst, vec![frame(0.7, 0x0AC8)]].concat();
    let played = play(&format!("{GEAR}power_on_level = 0"), &after);
    assert!(played.seen.counts.contains(&("queue overflows", 8)));
    for (k, seen) in (0..).zip(&played.seen.frames) {
        let (heard, number, step) = match k {
            0..16 => (Heard::Moved, Some(150 + k), Some(600 + u32::from(k))),
            24 => (Heard::Moved, Some(200), Some(700)),
            _ => (Heard::Passed, None, None),
        };
        let level = number.map(|number| 259 * (number - 1) + 8);
        assert_eq!(
            (seen.heard, seen.level, seen.carried_out),
            (heard, level, step),
            "{k}"
        );
    }
}

/// From the first control step softly up from the lowest control level that the lowest light allows; a frame at a control step is heard in it.
#[test]
fn set_up_and_first_light() {
    let bus =
        format!("{GEAR}soft_start_s = 1.5\npower_on_level = 240\nmaximum = 200\nfade_rate = 3");
    let frames = [
        frame(1.7, 0x0A01),
        frame(3.8, 0x0A00),
        frame(5.9, 0x0A64),
        frame(7.95, 0x0B01),
        frame(8.2, 0x0B91),
        frame(8.3, 0x0BFF),
        frame(8.4, 0x1191),
    ];
    let played = play(&bus, &frames);
    let ran = fades(&played);
    // Lowest light 1 %: control level 86 by the table of the standard's curve.
    let expected = [
        (place(200), 1.5, true, 1_700),
        (place(86), 2.0, false, 2_100),
        // To the minimum level, then off at once.
        (place(86), 2.0, false, 2_000),
        (LevelChoice::Level(0), 0.0, false, 100),
        (place(100), 2.0, true, 2_050),
    ];
    for ((fade, leg), (level, seconds, begins, steps)) in ran.iter().zip(expected) {
        assert_eq!((fade.level, fade.seconds), (level, seconds));
        assert_eq!(leg.from.is_some(), begins, "{level:?}");
        assert_eq!(leg.of, ((seconds * 1_000.0) as u32).max(1));
        assert!(leg.steps.abs_diff(steps) <= 1, "{level:?}: {}", leg.steps);
    }
    assert_eq!(
        ran[0].1.from.map(|from| LevelChoice::Level(from.to_bits())),
        Some(place(86))
    );
    assert_eq!(played.seen.frames[0].carried_out, Some(1_700));
    // Up by 178.898 control levels a second for 200 ms, rate 3 of the table.
    let LevelChoice::Level(up) = ran[5].0.level else {
        panic!("a Level")
    };
    let moved = f64::from(up - (259 * 99 + 8)) / 259.0;
    assert!((moved - 35.78).abs() < 0.01, "{moved}");
    let heard: Vec<_> = played.seen.frames.iter().map(|frame| frame.heard).collect();
    assert_eq!(heard[4..], [Heard::Taken, Heard::Passed, Heard::Passed]);
}

/// Time stamps are in ms: the second of a pair counts within 100 of them, not 1 000.
#[test]
fn pairs_of_frames() {
    for (apart_s, level, once) in [
        (0.05, place(150), 0),
        (0.09, place(150), 0),
        (0.15, place(254), 2),
    ] {
        let told = [
            frame(0.6, 0xA396),
            frame(0.65, 0x0B2A),
            frame(0.65 + apart_s, 0x0B2A),
        ];
        let frames = [&told[..], &[frame(1.2, 0x0AFE)]].concat();
        let played = play(&format!("{GEAR}power_on_level = 0"), &frames);
        assert_eq!(
            fades(&played).last().expect("fades").0.level,
            level,
            "{apart_s}"
        );
        assert!(
            played
                .seen
                .counts
                .contains(&("commands that came once", once)),
            "{apart_s}"
        );
    }
}

/// A bus that fails and comes back within a control step: what it says then holds.
#[test]
fn the_last_one_counts() {
    let frames = [frame(0.6, 0x0AFE), (3.0, Vec::new()), frame(3.0, 0x0A96)];
    let played = play(&format!("{GEAR}system_failure_level = 100"), &frames);
    let (fade, leg) = *fades(&played).last().expect("fades");
    assert_eq!((fade.level, leg.of), (place(150), 2_000));
}

/// Two whites without prepared recipes: what the firmware's solver makes of a colour temperature. With them a colour beyond the ends is the end.
#[test]
fn colour_temperatures() {
    let (begin, end) = (
        WHITE.find("[[channels]]").unwrap(),
        WHITE.find("[requirements]").unwrap(),
    );
    let channel = |name: &str, flux_lm: f64, x: f64, y: f64| {
        format!("[[channels]]\nname = \"{name}\"\nflux_lm = {flux_lm:?}\nx = {x}\ny = {y}\n")
    };
    let pair = [
        channel("warm", 100.0, 0.459, 0.41),
        channel("cool", 120.0, 0.313, 0.337),
    ]
    .concat();
    let recipes = "[recipes]\nfull = { warm = 1.0, cool = 1.0 }\nwarm = { warm = 1.0 }\n";
    let text = format!("{}{pair}{recipes}{}", &WHITE[..begin], &WHITE[end..]);
    let mirek = |value: u16| {
        let [high, low] = value.to_be_bytes().map(u16::from);
        [0xA300 | low, 0xC300 | high, 0xC108, 0x0BE7, 0x0AFE]
    };
    let frames: Vec<_> = (0..)
        .zip(mirek(400))
        .map(|(k, told)| frame(0.6 + 0.05 * f64::from(k), told))
        .collect();
    let recipes = |bus: &str| {
        let description = parse(&text_of(&text, bus, &frames), "pair.toml");
        played(&description.unwrap_or_else(|problem| panic!("{problem}"))).expect("a bus")
    };
    let primary = |x, y, flux| Primary {
        light: Chromaticity { x, y },
        flux,
    };
    let solver =
        TunableWhite::new([primary(0.459, 0.41, 100.0), primary(0.313, 0.337, 120.0)]).unwrap();
    let solved = recipes(GEAR);
    let made = &solved.description.recipes;
    let told = solver.solve_cct(1e6 / 400.0).recipe;
    assert_eq!(
        (made.len(), core_shares(&made[2].shares)),
        (3, told.shares().to_vec())
    );
    let colours =
        "colours = [{ mirek = 150, recipe = \"full\" }, { mirek = 350, recipe = \"warm\" }]";
    let prepared = recipes(&format!("{GEAR}{colours}"));
    assert_eq!(prepared.description.recipes.len(), 2);
    assert_eq!(fades(&prepared).last().expect("fades").0.recipe, 1);
}
