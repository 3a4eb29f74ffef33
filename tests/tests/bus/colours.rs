//! Colour by xy, mirek and primaries, alone and with a level.

use crate::control_gear::*;
use milliglow::bus::{Colour, Movement};
use milliglow_tests::data::rows;

const ACTIVATE: u8 = 0xE2;
const MIREK: u8 = 0xE7;

impl Bus {
    fn colour(&mut self, command: u8) -> Option<Movement> {
        self.frame(0xC108);
        self.command(command)
    }

    fn colour_value(&mut self, command: u8, value: u16) {
        self.register(0, value as u8);
        self.register(1, (value >> 8) as u8);
        assert_eq!(self.colour(command), None, "it waits");
    }
}

/// The raw values of the table arrive as they are; mirek is 10^6 / K, held to what the luminaire can do.
#[test]
fn units() {
    for row in rows("iec62386_colour_units.csv") {
        let raw: u16 = row.parsed("raw_nearest");
        let real: f64 = row.parsed("real_value");
        let mut bus = Bus::new();
        bus.level(150);
        let (expected, exact) = if row.text("type") == "xy" {
            bus.colour_value(0xE0, raw);
            bus.colour_value(0xE1, 1);
            (Colour::Chromaticity { x: raw, y: 1 }, real * 65_536.0)
        } else {
            bus.colour_value(MIREK, raw);
            (Colour::Mirek(raw.clamp(153, 370)), real)
        };
        // The value that stands for the maximum of x is the mask as well, and asks for nothing.
        let expected = (raw != 0xFFFF).then_some(expected);
        let got = bus.colour(ACTIVATE).and_then(|movement| movement.colour);
        assert_eq!(got, expected, "{}", row.text("input"));
        assert!((f64::from(raw) - exact).abs() <= 0.51);
    }
}

/// A level, a scene or up takes a waiting colour along: one movement, one pace.
#[test]
fn level_and_colour_arrive_as_one() {
    let mut bus = Bus::new();
    bus.level(100);
    bus.set(SET_FADE_TIME, 4);
    bus.colour_value(MIREK, 300);
    let movement = bus.level(200).expect("a movement");
    assert_eq!(movement.colour, Some(Colour::Mirek(300)));
    assert_eq!((movement.pace.steps(), bus.gear.remaining()), (2000, 2000));
    // It waits no longer.
    assert_eq!(bus.level(210).and_then(|movement| movement.colour), None);
    // A scene keeps what waits when it is stored, and gives both back.
    bus.colour_value(MIREK, 200);
    bus.set(0x42, 120);
    let movement = bus.command(0x12).expect("a movement");
    assert_eq!(movement.colour, Some(Colour::Mirek(200)));
    assert_eq!(movement.pace.steps(), 2000);
    bus.settle();
    assert_eq!(bus.query(ACTUAL), Some(120));
}

/// A colour that was stored with a scene waits no longer; a scene of a colour alone leaves the level where it goes.
#[test]
fn a_scene_of_a_colour_alone() {
    let mut bus = Bus::new();
    bus.level(100);
    bus.set(SET_FADE_TIME, 4);
    bus.colour_value(MIREK, 200);
    bus.set(0x43, 255);
    let movement = bus.level(200).expect("a movement");
    assert_eq!(movement.colour, None);
    bus.run(500);
    let movement = bus.command(0x13).expect("a movement");
    assert_eq!(movement.colour, Some(Colour::Mirek(200)));
    assert_eq!((movement.pace.steps(), bus.settle()), (2000, 2000));
    assert_eq!(bus.query(ACTUAL), Some(200));
}

/// Activated in flight, colour arrives with the level, which keeps its goal: also when that is off.
#[test]
fn activated_in_flight() {
    for (goal, level) in [(200, 200), (0, 0)] {
        let mut bus = Bus::new();
        bus.level(100);
        bus.set(SET_FADE_TIME, 4);
        bus.level(goal);
        bus.run(1500);
        bus.colour_value(MIREK, 300);
        let movement = bus.colour(ACTIVATE).expect("a movement");
        assert_eq!(movement.pace.steps(), 2000);
        assert_eq!(bus.settle(), 2000);
        assert_eq!(bus.query(ACTUAL), Some(level));
    }
    let mut dark = Bus::new();
    dark.set(SET_FADE_TIME, 4);
    dark.colour_value(MIREK, 300);
    let movement = dark.colour(ACTIVATE).expect("a movement");
    assert_eq!(
        (movement.level, dark.gear.remaining()),
        (milliglow::Level::OFF, 0)
    );
}

#[test]
fn steps_and_masks() {
    let mut bus = Bus::new();
    bus.level(150);
    assert_eq!(bus.colour(0xE9), None, "no colour temperature yet");
    bus.colour_value(MIREK, 369);
    bus.colour(ACTIVATE);
    for (command, expected) in [(0xE9, 370), (0xE9, 370), (0xE8, 369)] {
        let movement = bus.colour(command).expect("a movement");
        assert_eq!(movement.colour, Some(Colour::Mirek(expected)));
    }
    bus.colour_value(0xE0, 7);
    assert_eq!(bus.colour(ACTIVATE), None, "y has nothing to keep");
    bus.colour_value(0xE1, 9);
    assert_eq!(
        bus.colour(ACTIVATE).and_then(|movement| movement.colour),
        Some(Colour::Chromaticity { x: 7, y: 9 })
    );
    bus.colour_value(0xE1, 11);
    assert_eq!(
        bus.colour(ACTIVATE).and_then(|movement| movement.colour),
        Some(Colour::Chromaticity { x: 7, y: 11 })
    );
}

#[test]
fn primaries() {
    let mut bus = Bus::new();
    bus.level(150);
    bus.register(2, 1);
    bus.colour_value(0xEA, 1000);
    bus.register(2, 5);
    bus.colour_value(0xEA, 65_534);
    bus.register(2, 6);
    bus.colour_value(0xEA, 5);
    assert_eq!(
        bus.level(160).and_then(|movement| movement.colour),
        Some(Colour::Primaries([0, 1000, 0, 0, 0, 65_534]))
    );
    bus.register(2, 0);
    bus.colour_value(0xEA, 3);
    assert_eq!(
        bus.level(160).and_then(|movement| movement.colour),
        Some(Colour::Primaries([3, 1000, 0, 0, 0, 65_534]))
    );
}

/// Without the device type right before, or with another one, a colour command is nothing.
#[test]
fn needs_its_device_type() {
    let mut bus = Bus::new();
    bus.level(150);
    bus.register(0, 200);
    bus.command(MIREK);
    bus.frame(0xC106);
    bus.command(MIREK);
    bus.frame(0xC108);
    bus.query(ACTUAL);
    bus.command(MIREK);
    assert_eq!(bus.colour(ACTIVATE), None);
}

/// Three levels a command, masked ones keep what is; the four kinds of colour and their values can be asked for.
#[test]
fn six_levels_and_questions() {
    let mut bus = Bus::new();
    bus.level(150);
    let ask = |bus: &mut Bus, code: u8, value: u8| {
        bus.register(0, value);
        bus.frame(0xC108);
        let high = bus.query(code)?;
        let low = bus.query(0x98).unwrap();
        Some(u16::from_be_bytes([high, low]))
    };
    assert_eq!(ask(&mut bus, 0xF8, 0), Some(0), "no colour yet");
    let levels = |bus: &mut Bus, command: u8, values: [u8; 3]| {
        (0..3).for_each(|k| bus.register(k, values[k]));
        assert_eq!(bus.colour(command), None, "it waits");
    };
    levels(&mut bus, 0xEB, [10, 20, 254]);
    let movement = bus.level(160).expect("a movement");
    assert_eq!(
        movement.colour,
        Some(Colour::Rgbwaf([10, 20, 254, 0, 0, 0]))
    );
    levels(&mut bus, 0xEC, [255, 7, 8]);
    let movement = bus.colour(ACTIVATE).expect("a movement");
    assert_eq!(
        movement.colour,
        Some(Colour::Rgbwaf([10, 20, 254, 0, 7, 8]))
    );
    let given = (9..15).map(|index| ask(&mut bus, 0xFA, index));
    assert_eq!(given.collect::<Vec<_>>(), [10, 20, 254, 0, 7, 8].map(Some));
    assert_eq!(
        ask(&mut bus, 0xFA, 2),
        Some(0xFFFF),
        "no colour temperature"
    );
    assert_eq!(ask(&mut bus, 0xFA, 15), None);
    assert_eq!(ask(&mut bus, 0xF8, 0), Some(0x8000));
    assert_eq!(ask(&mut bus, 0xF9, 0), Some(0b1101_1011 << 8));
    bus.colour_value(MIREK, 300);
    bus.colour(ACTIVATE);
    assert_eq!(
        (ask(&mut bus, 0xFA, 2), ask(&mut bus, 0xF8, 0)),
        (Some(300), Some(0x2000))
    );
    bus.colour_value(0xE0, 7);
    bus.colour_value(0xE1, 0x1234);
    bus.colour(ACTIVATE);
    assert_eq!(
        (ask(&mut bus, 0xFA, 0), ask(&mut bus, 0xFA, 1)),
        (Some(7), Some(0x1234))
    );
    bus.register(2, 5);
    bus.colour_value(0xEA, 65_534);
    bus.colour(ACTIVATE);
    assert_eq!(
        (ask(&mut bus, 0xFA, 8), ask(&mut bus, 0xFA, 3)),
        (Some(65_534), Some(0))
    );
}
