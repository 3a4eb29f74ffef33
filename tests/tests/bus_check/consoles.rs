//! A console of 8 or 16 bits over a line that shakes and loses packets.

use super::{WHITE, checked, level_at, text_of, worst};
use milliglow_sim::description::parse;
use milliglow_sim::run::{Course, Heard, core_shares, played};
use milliglow_sim::verdict::Outcome;

const INTERVAL_S: f64 = 0.022_676;

/// splitmix64 of a packet's number, as a fraction.
fn drawn(index: u64) -> f64 {
    let mut z = index.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    (z ^ (z >> 31)) as f64 / 2f64.powi(64)
}

/// Packets of a position over time: late by up to 2 ms, one in twenty lost.
fn packets(seconds: f64, bits: u32, position: impl Fn(f64) -> f64) -> Vec<(f64, Vec<u8>)> {
    let count = (seconds / INTERVAL_S) as u64;
    let sent = (0..count).filter(|&k| k == 0 || drawn(k) > 0.05);
    sent.map(|k| {
        let at_s = k as f64 * INTERVAL_S;
        let full = f64::from((1_u32 << bits) - 1);
        let value = (position(at_s) * full).round() as u16;
        let slots = match bits {
            8 => vec![0, value as u8],
            _ => [&[0][..], &value.to_be_bytes()].concat(),
        };
        (at_s + 0.002 * drawn(k + (1 << 40)), slots)
    })
    .collect()
}

/// A minute from a third to two thirds of the slot, after a rest.
fn creep(at_s: f64) -> f64 {
    1.0 / 3.0 + ((at_s - 3.0) / 60.0).clamp(0.0, 1.0) / 3.0
}

/// A creep of 8 bits is smooth; what a console of 8 bits sends to slots of 16 is a staircase that is seen, so the judge is awake.
#[test]
fn creeping_fades() {
    let judged = |bits, position: fn(f64) -> f64| {
        let bus =
            format!("kind = \"dmx512\"\nslots = [{{ slot = 1, bits = {bits}, role = \"level\" }}]");
        let (observed, verdicts) = checked(&bus, &packets(66.0, bits, position));
        let seen = observed.bus.expect("a bus");
        assert!((seen.interval_s.unwrap() - INTERVAL_S).abs() < 0.001);
        assert!(worst(&verdicts, "below_90_hz", "script") < 0.05);
        ["pst_lm", "visibility"].map(|id| worst(&verdicts, id, "script"))
    };
    for bits in [8, 16] {
        let [flicker, seen] = judged(bits, creep);
        assert!(flicker < 0.02 && seen < 1.0, "{bits}: {flicker} {seen}");
    }
    let [flicker, _] = judged(16, |at_s| (creep(at_s) * 255.0).round() / 255.0);
    assert!(flicker > 0.25, "{flicker}");
}

/// A jump arrives within two packets; frames from the dark are timed to the first lit tick.
#[test]
fn jumps_and_dead_times() {
    let bus = "kind = \"dmx512\"\nslots = [{ slot = 1, role = \"level\" }]";
    let position = |at_s: f64| if at_s as u32 % 2 == 1 { 0.9 } else { 0.0 };
    let (observed, verdicts) = checked(bus, &packets(8.0, 8, position));
    let response = worst(&verdicts, "packet_response", "bus");
    // Two packets, the time to the control step, and one that was lost.
    assert!((0.02..=0.048).contains(&response), "{response}");
    let dead = worst(&verdicts, "dead_time", "bus");
    assert!((0.0005..0.03).contains(&dead), "{dead}");
    let seen = observed.bus.expect("a bus");
    assert!(
        seen.frames
            .iter()
            .filter(|frame| frame.dead_time_s.is_some())
            .count()
            >= 7
    );
}

/// After the time for a loss the light fades to what the file says, and the loss is counted.
#[test]
fn silence() {
    let bus = "kind = \"dmx512\"\nseconds = 6.0\nloss_ms = 1_000\nloss_fade_s = 2.0\n\
               slots = [{ slot = 1, role = \"level\", loss_percent = 30.0 }]";
    let (observed, _) = checked(bus, &packets(1.0, 8, |_| 1.0));
    let level = |at_s| level_at(&observed, at_s);
    assert_eq!((level(1.5), level(5.9)), (65_535, 19_661));
    assert!((30_000..60_000).contains(&level(3.0)));
    let seen = observed.bus.as_ref().expect("a bus");
    // Only the first asks for something new.
    let heard: Vec<_> = seen.frames.iter().map(|frame| frame.heard).collect();
    assert_eq!(heard[0], Heard::Moved);
    assert!(heard[1..].iter().all(|heard| *heard == Heard::Taken));
    let counts = &seen.counts;
    assert!(counts.contains(&("losses of data", 1)), "{counts:?}");
}

/// Before the first packet the light is what the file says, a slot of colour temperature goes from end to end, and a light whose data are
/// lost is compared with no fade.
#[test]
fn starts_ends_and_losses() {
    let bus = "kind = \"dmx512\"\nseconds = 6.0\nloss_ms = 1_000\n\
               colours = [{ mirek = 150, recipe = \"full\" }, { mirek = 350, recipe = \"half\" }]\n\
               slots = [{ slot = 1, role = \"level\", start_percent = 40.0 }, { slot = 2, role = \"mirek\" }]";
    let luminaire = WHITE.replace(
        "full = { white = 1.0 }",
        "full = { white = 1.0 }\nhalf = { white = 0.5 }",
    );
    let frames: Vec<_> = (0..5)
        .map(|k| {
            (
                0.5 + 0.8 * f64::from(k),
                vec![0, 255, if k < 2 { 0 } else { 255 }],
            )
        })
        .collect();
    let description = parse(&text_of(&luminaire, bus, &frames), "white.toml");
    let played = played(&description.unwrap_or_else(|problem| panic!("{problem}"))).expect("a bus");
    let Course::Track(track) = played.course else {
        panic!("a place for every control step")
    };
    assert_eq!(track.levels[400].to_bits(), 26_214);
    let shares_at = |step: usize| {
        let found = track.shares.iter().find(|(until, _)| step < *until);
        found.expect("shares").1.clone()
    };
    let near = |shares: Vec<milliglow::Share>, expected: f64| {
        let expected = core_shares(&[expected])[0].to_bits();
        shares[0].to_bits().abs_diff(expected) < 70_000
    };
    assert!(near(shares_at(2_050), 1.0) && near(shares_at(4_500), 0.5));
    // Lost a second after the last packet.
    assert!(!track.is_bent[4_500]);
    assert!(track.is_bent[4_750..].iter().all(|is_bent| *is_bent));
}

/// Bends are felt for longer than a fade of two seconds lasts: steps in the dark before it say nothing of it.
#[test]
fn a_fade_that_is_nothing_but_bends_is_not_judged() {
    let bus = "kind = \"dmx512\"\nslots = [{ slot = 1, bits = 16, role = \"level\" }]";
    let fade = |seconds: f64| move |at_s: f64| 0.2 + ((at_s - 4.0) / seconds).clamp(0.0, 0.6);
    let light_step = |seconds| {
        let (_, verdicts) = checked(bus, &packets(12.0, 16, fade(seconds)));
        let mut of_bus = verdicts
            .into_iter()
            .filter(|verdict| verdict.at.ends_with("bus"));
        let step = of_bus.find(|verdict| verdict.id == "light_step");
        step.expect("a verdict")
    };
    assert_eq!(light_step(3.0).outcome, Outcome::NotJudged);
    let judged = light_step(30.0);
    assert_eq!(judged.outcome, Outcome::Pass);
    assert!(judged.value.unwrap() > 1e-5, "{judged:?}");
}
