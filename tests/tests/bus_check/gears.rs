//! A control gear whose fades are cut short, whose bus fails, and that hears frames for others.

use super::{WHITE, checked, level_at, worst};
use milliglow::solve::{Chromaticity, Primary, Solved, ThreeChannels};
use milliglow_sim::check::check;
use milliglow_sim::description::{Description, parse};
use milliglow_sim::run::{Course, Heard, WhiteFade, core_shares, played};
use milliglow_sim::verdict::Outcome;

const GEAR: &str = "kind = \"iec62386\"\nshort_address = 5\npower_on_level = 0\nsystem_failure_level = 100\nfade_time = 4";

fn frame(at_s: f64, frame: u16) -> (f64, Vec<u8>) {
    (at_s, frame.to_be_bytes().to_vec())
}

#[test]
fn fades_cut_short_are_judged_as_they_ran() {
    let frames = [
        frame(0.2, 0x0AFE),
        // In flight: down, then up at the fade rate.
        frame(1.4003, 0x0A96),
        frame(2.6, 0x0B01),
        frame(2.7, 0x0C00),
        (3.5, Vec::new()),
        frame(4.2, 0x0A00),
    ];
    let (observed, verdicts) = checked(GEAR, &frames);
    for verdict in verdicts
        .iter()
        .filter(|verdict| verdict.at.contains("script") || verdict.at.contains("fade"))
    {
        assert_ne!(verdict.outcome, Outcome::Fail, "{verdict:?}");
    }
    assert_eq!(worst(&verdicts, "wrong_way_steps", "fade"), 0.0);
    assert_eq!(worst(&verdicts, "arrival_error", "fade"), 0.0);
    let seen = observed.bus.clone().expect("a bus");
    let heard: Vec<_> = seen.frames.iter().map(|frame| frame.heard).collect();
    use Heard::{Lost, Moved, Passed};
    assert_eq!(heard, [Moved, Moved, Moved, Passed, Lost, Moved]);
    // 0.7 ms to the control step, and in the dark to the first lit tick besides.
    let dead: Vec<_> = seen.frames.iter().map(|frame| frame.dead_time_s).collect();
    assert!((0.0006..0.0008).contains(&dead[1].unwrap()), "{dead:?}");
    assert!((0.0..0.002).contains(&dead[0].unwrap()), "{dead:?}");
    assert_eq!(dead[3], None);
    let level = |at_s| level_at(&observed, at_s);
    assert_eq!(
        level(3.6),
        259 * 99 + 8,
        "the system-failure level, at once"
    );
    assert_eq!(level(6.5), 0);
}

/// The light is that of the fade asked for, in flight too: what is left is rounding.
#[test]
fn light_over_the_fade_asked_for() {
    let frames: Vec<_> = (0..40)
        .map(|k| {
            frame(
                0.3 + 0.37 * f64::from(k),
                0x0A00 | [150, 254, 200, 90][k as usize % 4],
            )
        })
        .collect();
    let (_, verdicts) = checked(GEAR, &frames);
    assert!(worst(&verdicts, "below_90_hz", "script") < 0.002);
    assert!(worst(&verdicts, "visibility", "script") < 0.2);
}

/// Three invented channels on a bus.
fn rgb(bus: &str) -> Description {
    let channels = "[[channels]]\nname = \"red\"\nflux_lm = 180.0\nx = 0.695\ny = 0.3045\n\
                    [[channels]]\nname = \"green\"\nflux_lm = 320.0\nx = 0.195\ny = 0.705\n\
                    [[channels]]\nname = \"blue\"\nflux_lm = 60.0\nx = 0.14\ny = 0.055\n";
    let (begin, end) = (
        WHITE.find("[[channels]]").unwrap(),
        WHITE.find("[recipes]").unwrap(),
    );
    let recipes = WHITE[end..].replace(
        "full = { white = 1.0 }",
        "full = { red = 1.0, green = 1.0, blue = 1.0 }\nred = { red = 1.0 }",
    );
    let text = format!("{}{channels}{recipes}[bus]\n{bus}", &WHITE[..begin]);
    parse(&text, "rgb.toml").unwrap_or_else(|problem| panic!("{problem}"))
}

/// What the firmware's solver makes of a chromaticity for these channels.
fn solved(x: u16, y: u16) -> Solved<3> {
    let primary = |x, y, flux| Primary {
        light: Chromaticity { x, y },
        flux,
    };
    let solver = ThreeChannels::new([
        primary(0.695, 0.3045, 180.0),
        primary(0.195, 0.705, 320.0),
        primary(0.14, 0.055, 60.0),
    ]);
    let [x, y] = [x, y].map(|value| f32::from(value) / 65_536.0);
    solver.unwrap().solve(Chromaticity { x, y })
}

/// A chromaticity in slots, of 16 bits and of 8, is solved like one in frames.
#[test]
fn chromaticity_in_slots() {
    for (bits, packet, [x, y]) in [
        (16, "00FF5005FF5455", [0x5005, 0x5455]),
        (8, "00FF50FFFF54FF", [0x5050, 0x5454]),
    ] {
        let description = rgb(&format!(
            "kind = \"dmx512\"\nslots = [{{ slot = 1, role = \"level\" }}, {{ slot = 5, bits = {bits}, role = \"y\" }}, \
             {{ slot = 2, bits = {bits}, role = \"x\" }}]\nframes = [\"0.1, {packet}\"]\n"
        ));
        let Course::Track(track) = played(&description).expect("a bus").course else {
            panic!("a place for every control step")
        };
        let (_, shares) = track.shares.last().expect("shares");
        let expected = solved(x, y);
        assert!(expected.reached);
        assert_eq!(shares, expected.recipe.shares());
    }
}

/// A scene keeps a chromaticity or a colour temperature that was stored with it, and the luminaire makes it: by the solver, or along `colours`.
#[test]
fn scenes_of_a_colour() {
    let bus = |frames: &str| {
        format!(
            "kind = \"iec62386\"\nshort_address = 5\nfade_time = 4\nframes = [{frames}]\n\
             colours = [{{ mirek = 150, recipe = \"full\" }}, {{ mirek = 350, recipe = \"red\" }}]\n\
             scenes = [{{ number = 1, level = 254, x = 0.3127, y = 0.329 }}, {{ number = 2, level = 200, mirek = 250 }}, \
             {{ number = 3, level = 255, x = 0.2, y = 0.6 }}]\n"
        )
    };
    let text = bus("\"0.1, 0B11\", \"2.5, 0B12\", \"5.0, 0B13\"");
    let played = played(&rgb(&text)).expect("a bus");
    let [_, _, white, between, green] = &played.description.recipes[..] else {
        panic!("{:?}", played.description.recipes)
    };
    let shares = |x, y| *solved(x, y).recipe.shares();
    assert_eq!(core_shares(&white.shares), shares(20_493, 21_561));
    assert_eq!(core_shares(&green.shares), shares(13_107, 39_322));
    let expected = [1.0, 0.5, 0.5];
    let off = between.shares.iter().zip(expected);
    assert!(
        off.clone().all(|(share, half)| (share - half).abs() < 1e-5),
        "{off:?}"
    );
    let script = &played.description.script;
    let went: Vec<_> = script
        .iter()
        .map(|fade| (fade.recipe, fade.seconds))
        .collect();
    assert_eq!(went[went.len() - 3..], [(2, 2.0), (3, 2.0), (4, 2.0)]);
}

/// From white to white: as far from the locus as the straight way strays; one that is cut short ends on its way.
#[test]
fn fades_between_whites() {
    let bus = "kind = \"iec62386\"\nshort_address = 5\npower_on_level = 0\nfade_time = 4\n\
               frames = [\"0.1, 0B11\", \"2.5, 0B12\", \"3.5, 0B11\"]\n\
               scenes = [{ number = 1, level = 254, x = 0.4599, y = 0.4106 }, { number = 2, level = 200, x = 0.3127, y = 0.329 }]\n";
    let (observed, _) = check(&rgb(bus), |_| ());
    let [there, back] = &observed.white_fades[..] else {
        panic!("{:?}", observed.white_fades)
    };
    assert!((there.begin_s - 2.5).abs() < 0.002 && (back.begin_s - 3.5).abs() < 0.002);
    assert_eq!(there.recipe, "x 20493, y 21561");
    // 2700 K and D65 (CIE 015:2018: 6504 K); half of the way in time, half in shares, lies between, and below the locus.
    let close = |value: f64, expected: f64, within: f64| (value - expected).abs() <= within;
    assert!(close(there.from.cct_k, 2_700.0, 15.0), "{:?}", there.from);
    assert!(
        (3_000.0..6_000.0).contains(&there.to.cct_k),
        "{:?}",
        there.to
    );
    assert!(close(back.from.cct_k, there.to.cct_k, 1.0), "{back:?}");
    assert!(close(back.to.cct_k, 2_700.0, 15.0), "{:?}", back.to);
    let farthest = WhiteFade::farthest(&there.along).expect("whites");
    assert!(farthest.duv < -0.001, "{farthest:?}");
}

/// A chromaticity becomes the shares that the firmware's solver gives; six levels are the channels' shares as they stand.
#[test]
fn colours_without_prepared_recipes() {
    let d65 = [
        0xA305, 0xC350, 0xC108, 0x0BE0, 0xA355, 0xC354, 0xC108, 0x0BE1, 0x0AFE,
    ];
    let levels = [0xA3FE, 0xC37F, 0xC500, 0xC108, 0x0BEB, 0x0AFE];
    let told = d65.iter().chain(&levels).enumerate();
    let frames: Vec<_> = told
        .map(|(k, frame)| format!("\"{}, {frame:04X}\"", 0.1 + 0.03 * k as f64))
        .collect();
    let bus = format!(
        "kind = \"iec62386\"\nshort_address = 5\nframes = [{}]\n",
        frames.join(", ")
    );
    let description = rgb(&bus);
    let made = played(&description).expect("a bus").description.recipes;
    let [_, _, white, plain] = &made[..] else {
        panic!("{made:?}")
    };
    let expected = solved(0x5005, 0x5455);
    assert!(expected.reached);
    assert_eq!(core_shares(&white.shares), expected.recipe.shares());
    let near = |share: f64, wanted: f64| (share - wanted).abs() < 1e-8;
    let [red, green, blue] = plain.shares[..] else {
        panic!()
    };
    assert!(
        near(red, 1.0) && near(green, 127.0 / 254.0) && blue == 0.0,
        "{plain:?}"
    );
}
