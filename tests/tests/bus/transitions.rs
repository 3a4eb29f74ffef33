//! What each command does from each kind of light: the whole table.

use crate::control_gear::*;
use milliglow::bus::iec62386::Configuration;
use milliglow::{Light, constant};

/// Limits 100 and 200, fade time 2.0 s, scene 3 at 180, scene 4 at 20, scene 5 off, scene 6 removed.
fn prepared() -> Bus {
    let mut bus = Bus::new();
    bus.set(SET_MINIMUM, 100);
    bus.set(SET_MAXIMUM, 200);
    for (scene, level) in [(3, 180), (4, 20), (5, 0)] {
        bus.set(0x40 | scene, level);
    }
    bus.set(0x46, 120);
    bus.set(0x56, 0);
    bus
}

/// From a level at rest with fade time 0: a command, then the level at once and the limit flag.
#[test]
fn at_once() {
    const SCENE: u8 = 0x10;
    #[rustfmt::skip]
    let table: &[(u8, u8, u8, bool)] = &[
        // from, command, level, limited
        (0, OFF, 0, false), (100, OFF, 0, false), (150, OFF, 0, false), (200, OFF, 0, false),
        (0, STEP_UP, 0, false), (100, STEP_UP, 101, false), (150, STEP_UP, 151, false), (200, STEP_UP, 200, true),
        (0, STEP_DOWN, 0, false), (100, STEP_DOWN, 100, true), (150, STEP_DOWN, 149, false), (200, STEP_DOWN, 199, false),
        (0, MAXIMUM, 200, false), (100, MAXIMUM, 200, false), (150, MAXIMUM, 200, false), (200, MAXIMUM, 200, false),
        (0, MINIMUM, 100, false), (100, MINIMUM, 100, false), (150, MINIMUM, 100, false), (200, MINIMUM, 100, false),
        (0, STEP_DOWN_AND_OFF, 0, false), (100, STEP_DOWN_AND_OFF, 0, false), (101, STEP_DOWN_AND_OFF, 100, false),
        (150, STEP_DOWN_AND_OFF, 149, false), (200, STEP_DOWN_AND_OFF, 199, false),
        (0, ON_AND_STEP_UP, 100, false), (100, ON_AND_STEP_UP, 101, false), (150, ON_AND_STEP_UP, 151, false),
        (200, ON_AND_STEP_UP, 200, true),
        (0, LAST_ACTIVE, 130, false), (100, LAST_ACTIVE, 100, false), (150, LAST_ACTIVE, 150, false),
        (0, UP, 0, false), (0, DOWN, 0, false), (200, UP, 200, true), (100, DOWN, 100, true),
        (0, SCENE | 3, 180, false), (150, SCENE | 3, 180, false), (150, SCENE | 4, 100, true), (0, SCENE | 4, 100, true),
        (150, SCENE | 5, 0, false), (0, SCENE | 5, 0, false), (150, SCENE | 6, 150, false), (0, SCENE | 6, 0, false),
        (150, SCENE | 7, 150, false),
    ];
    for &(from, command, level, limited) in table {
        let mut bus = prepared();
        bus.level(130);
        bus.level(from);
        bus.command(command);
        let told = format!("{from} then {command:#04x}");
        assert_eq!(bus.gear.remaining(), 0, "{told}");
        assert_eq!(bus.query(ACTUAL), Some(level), "{told}");
        assert_eq!(bus.query(LIMITED), limited.then_some(255), "{told}");
    }
}

/// Direct levels, all of them, from off and lit.
#[test]
fn direct_levels() {
    for from in [0, 100, 150, 200] {
        for number in 0..=254 {
            let mut bus = prepared();
            bus.level(from);
            bus.level(number);
            let held = if number == 0 {
                0
            } else {
                number.clamp(100, 200)
            };
            assert_eq!(bus.query(ACTUAL), Some(held), "{number}");
            assert_eq!(bus.query(LIMITED), (held != number).then_some(255));
        }
        let mut bus = prepared();
        bus.level(from);
        bus.level(255);
        assert_eq!(bus.query(ACTUAL), Some(from), "the mask stops");
    }
}

/// In the middle of a fade from 100 to 200 (2.0 s): each command, and where the light ends, when.
#[test]
fn in_flight() {
    #[rustfmt::skip]
    let table: &[(u8, u8, u32)] = &[
        (OFF, 0, 0), (STEP_UP, 151, 0), (STEP_DOWN, 149, 0), (MAXIMUM, 200, 0), (MINIMUM, 100, 0),
        (STEP_DOWN_AND_OFF, 149, 0), (ON_AND_STEP_UP, 151, 0), (UP, 159, 200), (DOWN, 141, 200),
        (LAST_ACTIVE, 200, 2000), (0x13, 180, 2000), (0x14, 100, 2000), (0x15, 0, 2000), (0x16, 200, 1000),
    ];
    for &(command, level, steps) in table {
        let mut bus = prepared();
        bus.level(100);
        bus.set(SET_FADE_TIME, 4);
        bus.level(200);
        bus.run(1000);
        assert_eq!(bus.query(ACTUAL), Some(150), "the present level in flight");
        assert_eq!(bus.query(STATUS).unwrap() & 0x10, 0x10, "fading");
        bus.command(command);
        let told = format!("{command:#04x}");
        assert_eq!(bus.settle(), steps, "{told}");
        assert_eq!(bus.query(ACTUAL), Some(level), "{told}");
        assert_eq!(bus.query(STATUS).unwrap() & 0x10, 0, "{told}");
    }
}

/// A fade begins at the minimum level, and to off it runs there and ends dark with its last control step.
#[test]
fn from_off_and_to_off() {
    let mut bus = prepared();
    bus.set(SET_FADE_TIME, 4);
    let movement = bus.level(200).expect("a movement");
    assert_eq!(bus.query(ACTUAL), Some(100));
    assert_eq!(movement.from, Some(bus.gear.level()));
    assert_eq!(bus.settle(), 2000);
    bus.level(0);
    bus.run(1999);
    assert_eq!(bus.query(ACTUAL), Some(100));
    let last = bus.gear.control_step().expect("off");
    assert_eq!(
        (last.level, bus.query(ACTUAL)),
        (milliglow::Level::OFF, Some(0))
    );
    assert_eq!(bus.gear.control_step(), None);
    // Called back on the way, it does not go off.
    bus.level(200);
    bus.settle();
    bus.level(0);
    bus.run(1000);
    bus.level(255);
    bus.run(3000);
    assert_eq!(bus.query(ACTUAL), Some(150));
}

/// New limits move a light that they leave outside, and end a fade that was to go beyond.
#[test]
fn new_limits() {
    let mut bus = prepared();
    bus.level(190);
    assert!(bus.set(SET_MAXIMUM, 170).is_some());
    assert_eq!(bus.query(ACTUAL), Some(170));
    bus.level(100);
    assert!(bus.set(SET_MINIMUM, 120).is_some());
    assert_eq!(bus.query(ACTUAL), Some(120));
    bus.set(SET_FADE_TIME, 4);
    bus.level(170);
    bus.run(1000);
    assert!(bus.set(SET_MAXIMUM, 160).is_some());
    bus.settle();
    assert_eq!(bus.query(ACTUAL), Some(160));
    // Off is no light outside.
    bus.command(OFF);
    assert_eq!(bus.set(SET_MINIMUM, 130), None);
    assert_eq!(bus.query(ACTUAL), Some(0));
}

/// Minimum and maximum hold each other and the physical minimum, 60 here, for all values.
#[test]
fn limits_for_all_values() {
    for value in 0..=255u8 {
        let mut bus = prepared();
        bus.set(SET_MINIMUM, value);
        assert_eq!(bus.query(0xA2), Some(value.clamp(60, 200)));
        let mut bus = prepared();
        bus.set(SET_MAXIMUM, value);
        assert_eq!(bus.query(0xA1), Some(value.clamp(100, 254)));
    }
}

/// Power-on level and the level when the bus fails; the mask means the last level and no change.
#[test]
fn start_and_failure() {
    for (stored, level) in [(254, 200), (150, 150), (1, 100), (0, 0), (255, 177)] {
        let mut bus = prepared();
        bus.level(177);
        bus.set(SET_POWER_ON, stored);
        bus.set(SET_SYSTEM_FAILURE, stored);
        let kept = *bus.gear.settings();
        let mut started = Bus::new();
        started.gear.restore(&kept);
        let movement = started.gear.power_on();
        let soft = if level == 0 { 0 } else { 500 };
        assert_eq!((movement.is_some(), started.settle()), (true, soft));
        assert_eq!(started.query(ACTUAL), Some(level));
        assert_eq!(started.query(0x9B), Some(255), "power cycled");
        started.level(150);
        assert_eq!(started.query(0x9B), None);
        assert_eq!(bus.gear.bus_failed().is_some(), stored != 255);
        assert_eq!(bus.query(ACTUAL), Some(level));
    }
}

/// What the standard says of a reset (values from memory), and what says that nothing was changed.
#[test]
fn reset() {
    let mut bus = prepared();
    bus.set(SHORT_ADDRESS, 7 << 1 | 1);
    bus.set(SET_FADE_RATE, 3);
    bus.level(130);
    assert_eq!(bus.query(0x95), None);
    bus.set(0x20, 0);
    #[rustfmt::skip]
    let table = [
        (ACTUAL, 254), (0xA1, 254), (0xA2, 60), (0x9A, 60), (0xA3, 254), (0xA4, 254), (0xA5, 0x07), (0xA8, 0),
        (0xB3, 255), (0xC0, 0), (0xC1, 0), (0x95, 255),
    ];
    for (query, answer) in table {
        assert_eq!(bus.query(query), Some(answer), "{query:x}");
    }
    assert_eq!(bus.query(0x96), None, "the short address stays");
    bus.level(130);
    assert_eq!(bus.query(0x95), Some(255), "a level is no setting");
}

/// What up and down came to is the last level as well.
#[test]
fn last_level_of_a_run() {
    for (run, level) in [(UP, 159), (DOWN, 141)] {
        let mut bus = prepared();
        bus.level(150);
        bus.command(run);
        bus.settle();
        bus.command(OFF);
        bus.command(LAST_ACTIVE);
        assert_eq!(bus.query(ACTUAL), Some(level), "{run}");
    }
}

/// Settings of a luminaire that could go lower: the minimum rises to what this one can, and nothing asks for less.
#[test]
fn settings_of_another_luminaire() {
    let lower = Configuration {
        lowest: constant!(Light::from_ratio_nearest(1, 1_000)),
        ..CONFIGURATION
    };
    let mut other = Bus::with(&lower);
    other.set(0x43, 5);
    other.set(SET_MAXIMUM, 30);
    assert_eq!((other.query(0xA2), other.query(0xA1)), (Some(1), Some(30)));
    let mut bus = Bus::new();
    bus.gear.restore(other.gear.settings());
    assert_eq!((bus.query(0xA2), bus.query(0xA1)), (Some(60), Some(60)));
    bus.command(0x13);
    assert_eq!(bus.query(ACTUAL), Some(60));
}
