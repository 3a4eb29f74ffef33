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

/// The same with 25 packets a second.
const fn slow(line: Line) -> Line {
    Line {
        interval_us: 40_000,
        ..line
    }
}

/// A line of each state, at both rates.
fn states() -> impl Iterator<Item = Line> {
    let late = Line {
        lost_percent: 0,
        ..bad(1)
    };
    let lossy = Line {
        jitter_us: 0,
        ..bad(2)
    };
    let states = [GOOD, late, lossy, bad(3), bad(4), bad(5)];
    states.into_iter().flat_map(|line| [line, slow(line)])
}

const SECONDS: [f64; 9] = [30.0, 45.0, 60.0, 90.0, 120.0, 200.0, 300.0, 450.0, 600.0];

/// Of all fades of 30 to 600 s over all slot values, up and down, both corners included. The figures are printed with --nocapture.
fn worst(width: Width, lines: impl Iterator<Item = Line>, all_seconds: &[f64]) -> f64 {
    let configuration = configuration(width);
    let mut worst: f64 = 0.0;
    for line in lines {
        for &seconds in all_seconds {
            for ends in [UP, DOWN] {
                let severity = fade_severity(&configuration, line, seconds, ends);
                println!("{width:?} {seconds} s {ends:?} {line:?}: PstLM {severity:.3}");
                worst = worst.max(severity);
            }
        }
    }
    worst
}

const UP: [f64; 2] = [1.0, 255.0];
const DOWN: [f64; 2] = [255.0, 1.0];

#[test]
fn creeping_fades_are_even() {
    let worst = worst(Width::Coarse, states(), &SECONDS);
    assert!((0.03..0.06).contains(&worst), "{worst}");
}

/// The fastest creeps on 48 bad lines at each rate, some of which lose packets where a creep begins or ends, or three and more in a row.
#[test]
fn lines_that_lose_more() {
    let lines = (1..=48).flat_map(|seed| [bad(seed), slow(bad(seed))]);
    let worst = worst(Width::Coarse, lines, &[30.0]);
    assert!((0.03..0.06).contains(&worst), "{worst}");
}

/// Fades that set out and arrive softly.
#[test]
fn bent_fades_are_even() {
    let configuration = configuration(Width::Coarse);
    for line in states() {
        for seconds in SECONDS {
            let soft = |way: f64| way * way * (3.0 - 2.0 * way);
            let severity = shaped_severity(&configuration, line, seconds, UP, soft);
            assert!((0.02..0.06).contains(&severity), "{seconds} s: {severity}");
        }
    }
}

/// A move of four steps that is over before the filter's delay is: as late as any, and as it was, to a fifth of a step.
#[test]
fn short_moves_keep_their_shape() {
    let configuration = configuration(Width::Coarse);
    for seconds in [0.3, 0.5, 1.0] {
        let position = |time: f64| (100.0 + 4.0 * ((time - 6.0) / seconds).clamp(0.0, 1.0)) / 255.0;
        let levels = levels(&configuration, GOOD, 9.0, position);
        for (step, level) in levels.iter().enumerate().skip(2 * CONTROL_HZ as usize) {
            let ideal =
                position(step as f64 / f64::from(CONTROL_HZ) - delay_s(&configuration, GOOD));
            let off = f64::from(level.to_bits()) / 257.0 - 255.0 * ideal;
            assert!(off.abs() < 0.2, "{seconds} s: {off}");
        }
    }
}

#[test]
fn fine_slots_are_even() {
    let worst = worst(Width::CoarseFine, lines(), &SECONDS);
    assert!((0.01..0.05).contains(&worst), "{worst}");
}

/// On as many bad lines: with one packet of delay a lost one shows as a stop, and the slower packets come the longer it lasts.
#[test]
fn fine_slots_on_lines_that_lose_more() {
    let often = worst(Width::CoarseFine, (1..=48).map(bad), &[30.0]);
    assert!((0.05..0.1).contains(&often), "{often}");
    let slow = |seconds| {
        worst(
            Width::CoarseFine,
            (1..=48).map(|seed| slow(bad(seed))),
            &[seconds],
        )
    };
    let (fast, creep) = (slow(30.0), slow(60.0));
    assert!(creep < 0.1 && (0.1..0.17).contains(&fast), "{creep} {fast}");
}

/// What the filter looks ahead for: with 20 ms, a packet, it sees a corner when it has passed.
#[test]
fn a_narrow_filter_is_not_enough() {
    let narrow = Configuration {
        creep_ms: 20,
        ..configuration(Width::Coarse)
    };
    let severity = fade_severity(&narrow, GOOD, 30.0, UP);
    println!("a filter of 20 ms: PstLM {severity:.3}");
    assert!(severity > 0.15);
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
