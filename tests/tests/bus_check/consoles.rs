//! A console of 8 or 16 bits over a line that shakes and loses packets.

use super::{checked, level_at, worst};

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
    let counts = &observed.bus.as_ref().expect("a bus").counts;
    assert!(counts.contains(&("losses of data", 1)), "{counts:?}");
}
