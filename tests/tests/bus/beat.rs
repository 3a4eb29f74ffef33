//! How the beat of packets and the time between them are followed: soon enough, and without what jitter makes of them.

use crate::console::{GOOD, Line};
use crate::packets::{LEVEL, slots};
use milliglow::bus::dmx512::{Configuration, Slots};

const INTERVAL_US: u32 = 22_000;
/// What a slot of 16 bits rises by in a packet.
const RISE: u32 = 200;

/// For each packet, half an interval after it was due, how many µs the value is behind what is asked, and the measured time in µs.
fn followed(due_us: impl Fn(u32) -> u32, late_us: impl Fn(u32) -> u32) -> Vec<[f64; 2]> {
    let mut slots = slots(&Configuration {
        control_hz: 10_000,
        ..LEVEL
    });
    let mut now_us = 0;
    (0..320)
        .map(|index| {
            let mut until = |slots: &mut Slots<1>, us| {
                while now_us < us {
                    slots.control_step();
                    now_us += 100;
                }
            };
            let at_us = due_us(index) + late_us(index);
            until(&mut slots, at_us);
            let [coarse, fine] = ((index * RISE) as u16).to_be_bytes();
            slots
                .packet(&[0, coarse, fine], at_us)
                .expect("a good packet");
            until(&mut slots, due_us(index) + INTERVAL_US / 2);
            let behind = f64::from(index) + 0.5 - f64::from(slots.values()[0]) / f64::from(RISE);
            [behind * f64::from(INTERVAL_US), slots.interval_us().into()]
        })
        .collect()
}

fn every(index: u32) -> u32 {
    index * INTERVAL_US
}

fn spread(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let count = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / count;
    (values.map(|value| (value - mean).powi(2)).sum::<f64>() / count).sqrt()
}

/// Packets that are all later by 4 ms from one on: most of it after six packets, all but a tenth after thirty, a fifth too much at most.
#[test]
fn a_beat_that_shifts_is_followed() {
    let seen = followed(every, |index| if index >= 100 { 4_000 } else { 0 });
    let behind = |index: usize| seen[index][0] - seen[90][0];
    assert!((1_500.0..2_000.0).contains(&behind(101)), "{}", behind(101));
    assert!((3_100.0..3_500.0).contains(&behind(104)), "{}", behind(104));
    let mut after = 105..300;
    assert!(after.all(|index| (3_400.0..4_800.0).contains(&behind(index))));
    let mut settled = 130..300;
    assert!(settled.all(|index| (3_900.0..4_400.0).contains(&behind(index))));
}

/// Packets late by up to 2 ms: two fifths of it move the beat, and an eighth the measured time.
#[test]
fn jitter_is_not_followed() {
    let line = Line {
        interval_us: INTERVAL_US,
        jitter_us: 2_000,
        ..GOOD
    };
    let late = |index: u32| {
        let at_us = line.arrival_us(index.into()).expect("none is lost");
        at_us as u32 - every(index)
    };
    let seen = followed(every, late);
    let jitter = spread((60..320).map(|index| f64::from(late(index))));
    let [beat, time] = [0, 1].map(|k| spread(seen[60..].iter().map(|seen| seen[k])) / jitter);
    assert!((0.33..0.42).contains(&beat), "{beat}");
    assert!((0.11..0.15).contains(&time), "{time}");
}

/// A console that becomes slower by an eighth: an eighth of what is missing in every packet.
#[test]
fn a_pace_that_changes_is_followed() {
    let slower = |index| every(index) + u32::saturating_sub(index, 100) * 2_750;
    let seen = followed(slower, |_| 0);
    for packets in 1..40 {
        let missing = 24_750.0 - seen[100 + packets][1];
        let exact = 2_750.0 * 0.875_f64.powi(packets as i32);
        assert!((missing - exact).abs() < 10.0, "{packets}: {missing}");
    }
}
