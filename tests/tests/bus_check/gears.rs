//! A control gear whose fades are cut short, whose bus fails, and that hears frames for others.

use super::{checked, worst};
use milliglow_sim::run::Heard;
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
    let seen = observed.bus.expect("a bus");
    let heard: Vec<_> = seen.frames.iter().map(|frame| frame.heard).collect();
    use Heard::{Lost, Moved, Passed};
    assert_eq!(heard, [Moved, Moved, Moved, Passed, Lost, Moved]);
    // 0.7 ms to the control step, and in the dark to the first lit tick besides.
    let dead: Vec<_> = seen.frames.iter().map(|frame| frame.dead_time_s).collect();
    assert!((0.0006..0.0008).contains(&dead[1].unwrap()), "{dead:?}");
    assert!((0.0..0.002).contains(&dead[0].unwrap()), "{dead:?}");
    assert_eq!(dead[3], None);
    let level = |at_s: f64| {
        let mut moments = observed.script.iter();
        moments
            .find(|moment| moment.time_s >= at_s)
            .expect("a moment")
            .level
    };
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
