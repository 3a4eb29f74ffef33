//! Slots of 8 bits: a creeping fade without steps, and a jump without delay, on a good line and on a bad one.

use crate::console::*;
use milliglow::bus::dmx512::{Configuration, Width};

/// Packets late by up to 2 ms, one in twenty lost: invented.
const fn bad(seed: u64) -> Line {
    Line {
        jitter_us: 2_000,
        lost_percent: 5,
        seed,
        ..GOOD
    }
}

fn lines() -> impl Iterator<Item = Line> {
    [GOOD].into_iter().chain((1..=3).map(bad))
}

/// Fades of all slot values in 30 to 600 s. The figures are printed with --nocapture.
#[test]
fn creeping_fades_are_even() {
    for seconds in [30.0, 45.0, 60.0, 100.0, 150.0, 200.0, 300.0, 450.0, 600.0] {
        for line in lines() {
            let severity =
                fade_severity(&configuration(Width::Coarse), line, seconds, Part::Running);
            println!("{seconds} s, {line:?}: PstLM {severity:.3}");
            assert!(severity < 0.1, "{seconds} s, {line:?}: {severity}");
        }
    }
}

/// The corner at the start is rounded by the filter, which the meter sees on fades as fast as 30 s.
#[test]
fn fades_with_their_start() {
    for (seconds, limit) in [
        (30.0, 0.25),
        (60.0, 0.1),
        (100.0, 0.1),
        (300.0, 0.1),
        (600.0, 0.1),
    ] {
        for line in lines() {
            let severity = fade_severity(
                &configuration(Width::Coarse),
                line,
                seconds,
                Part::WithStart,
            );
            println!("{seconds} s with its start, {line:?}: PstLM {severity:.3}");
            assert!(severity < limit, "{seconds} s, {line:?}: {severity}");
        }
    }
}

/// What the filter is for: 20 ms of it, about a packet, leave a staircase that is seen.
#[test]
fn a_narrow_filter_is_not_enough() {
    let narrow = Configuration {
        creep_ms: 20,
        ..configuration(Width::Coarse)
    };
    for seconds in [30.0, 100.0, 600.0] {
        let severity = fade_severity(&narrow, GOOD, seconds, Part::Running);
        println!("{seconds} s, a filter of 20 ms: PstLM {severity:.3}");
        assert!(severity > 0.4);
    }
}

/// On straight lines over two packets, 16 bits need no filter; lost packets show on fades as fast as 30 s.
#[test]
fn fine_slots_are_even() {
    for (seconds, limit) in [(30.0, 0.15), (45.0, 0.1), (100.0, 0.1), (600.0, 0.1)] {
        let fine = configuration(Width::CoarseFine);
        assert!(fade_severity(&fine, GOOD, seconds, Part::Running) < 0.015);
        for seed in 1..=3 {
            let severity = fade_severity(&fine, bad(seed), seconds, Part::Running);
            println!("{seconds} s, 16 bits, one packet in twenty lost: PstLM {severity:.3}");
            assert!(severity < limit, "{seconds}: {severity}");
        }
    }
}

/// From rest, from a creep and from a run, up and down: all of the way within two packets of the first packet that asks, and
/// never past the goal.
#[test]
fn jumps_arrive_within_two_packets() {
    let befores: [fn(f64) -> f64; 3] = [|_| 0.25, |time| 0.25 + time / 120.0, |time| time / 12.0];
    for line in lines() {
        for width in [Width::Coarse, Width::CoarseFine] {
            for before in befores {
                for goal in [0.0, 1.0] {
                    jump(&configuration(width), line, before, goal);
                }
            }
        }
    }
}

fn jump(configuration: &Configuration<1>, line: Line, before: fn(f64) -> f64, goal: f64) {
    let at_s = 6.0;
    let levels = levels(configuration, line, 8.0, |time| {
        if time < at_s { before(time) } else { goal }
    });
    let first = (at_s * 1e6 / f64::from(line.interval_us)).ceil() as u64;
    let mut sent = first..;
    let first_taken = sent
        .find(|&index| line.arrival_us(index).is_some())
        .expect("one of them");
    let asked_us = line.arrival_us(first_taken).expect("taken");
    let handed_us = first_taken * u64::from(line.interval_us) + u64::from(line.jitter_us);
    let begin = (handed_us * u64::from(CONTROL_HZ)).div_ceil(1_000_000) as usize;
    // The line hands a packet over when all its jitter is past.
    let due_us = asked_us + 2 * u64::from(line.interval_us + line.jitter_us);
    let due = (due_us * u64::from(CONTROL_HZ)).div_ceil(1_000_000) as usize;
    let goal = (goal * 65_535.0) as u16;
    assert!(
        levels[due..].iter().all(|level| level.to_bits() == goal),
        "{line:?} {goal}"
    );
    let way = levels[begin..due]
        .iter()
        .map(|level| level.to_bits().abs_diff(goal));
    // In a straight line over a packet: 45 control steps, or 41 if two came at their closest.
    let far = levels[begin - 1].to_bits().abs_diff(goal);
    let steps =
        (begin..due).map(|step| levels[step].to_bits().abs_diff(levels[step - 1].to_bits()));
    assert!(steps.max() <= Some(far / 40 + 1), "{line:?} {goal} jumps");
    assert!(
        way.is_sorted_by(|early, late| early >= late),
        "{line:?} {goal}"
    );
}
