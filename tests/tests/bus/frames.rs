//! All 65 536 frames, from every kind of state.

use crate::control_gear::*;
use milliglow::Level;
use milliglow::bus::iec62386::{Address, Frame, Response};
use milliglow::curve::ControlLevel;

/// In the dark; lit; on the way up; on the way to off; between two levels; with short address 5, groups 0 and 9 and narrow
/// limits; with a command that waits for its repetition; with colour enabled for the next command.
fn states() -> Vec<Bus> {
    let dark = Bus::new();
    let mut lit = dark.clone();
    lit.level(150);
    let mut rising = lit.clone();
    rising.set(SET_FADE_TIME, 4);
    let mut falling = rising.clone();
    rising.level(250);
    rising.run(777);
    falling.level(0);
    falling.run(777);
    let mut between = lit.clone();
    between.command(UP);
    between.run(50);
    let mut addressed = falling.clone();
    addressed.set(0x60, 0);
    addressed.set(0x69, 0);
    addressed.set(SHORT_ADDRESS, 5 << 1 | 1);
    addressed.set(SET_MINIMUM, 100);
    addressed.set(SET_MAXIMUM, 200);
    let mut waiting = rising.clone();
    waiting.command(0x20);
    let mut coloured = rising.clone();
    coloured.register(0, 250);
    coloured.frame(0xC108);
    coloured.command(0xE7);
    coloured.frame(0xC108);
    vec![
        dark, lit, rising, falling, between, addressed, waiting, coloured,
    ]
}

fn is_for(bus: &Bus, frame: u16) -> bool {
    let addressed = format!("{:?}", bus.gear.settings()).contains("short_address: 5");
    match Frame::decode(frame) {
        Frame::Level { to, .. } | Frame::Command { to, .. } => match to {
            Address::Short(short) => addressed && short == 5,
            Address::Group(group) => addressed && (group == 0 || group == 9),
            Address::Unaddressed => !addressed,
            Address::Broadcast => true,
        },
        Frame::Special { code, .. } => matches!(code, 0xA3 | 0xC1 | 0xC3 | 0xC5),
        Frame::Reserved => false,
    }
}

/// All that a gear is, but for what it counts.
fn state(bus: &Bus) -> String {
    let told = format!("{:?}", bus.gear);
    told.split(", counts: ")
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// Off, or within the limits.
pub(crate) fn assert_held(bus: &mut Bus, told: &str) {
    let curve = bus.curve;
    let place = |number| {
        let level = ControlLevel::new(number).expect("1 to 254");
        curve.continuous(level).1
    };
    // A copy is asked, since a question ends a wait for a repetition.
    let mut asked = bus.clone();
    let (minimum, maximum) = (asked.query(0xA2).unwrap(), asked.query(0xA1).unwrap());
    let level = bus.gear.level();
    assert!(
        level == Level::OFF || (place(minimum) <= level && level <= place(maximum)),
        "{told}: {level:?}, not {minimum} to {maximum}"
    );
    let physical = asked.query(0x9A).unwrap();
    assert!((physical..=254).contains(&minimum) && minimum <= maximum && maximum <= 254);
}

#[test]
fn every_frame_from_every_state() {
    for (index, state) in states().into_iter().enumerate() {
        let before = self::state(&state);
        for frame in 0..=u16::MAX {
            let mut bus = state.clone();
            let response = bus.frame(frame);
            let told = format!("state {index}, frame {frame:04x}");
            assert_held(&mut bus, &told);
            if !is_for(&state, frame) {
                assert_eq!(response, Response::default(), "{told}");
                assert_eq!(self::state(&bus), before, "{told}");
            }
            // Asking changes nothing that anyone could ask for.
            if response.answer.is_some() {
                assert_eq!(bus.gear.settings(), state.gear.settings(), "{told}");
                assert_eq!(bus.gear.level(), state.gear.level(), "{told}");
            }
        }
    }
}

/// Each frame is of one kind: counted against the layout of the address byte.
#[test]
fn decoding() {
    let mut counts = [0; 4];
    for frame in 0..=u16::MAX {
        counts[match Frame::decode(frame) {
            Frame::Level { .. } => 0,
            Frame::Command { .. } => 1,
            Frame::Special { .. } => 2,
            Frame::Reserved => 3,
        }] += 1;
    }
    // 64 short, 16 group, 2 broadcast addresses; 22 odd bytes 0xA1 to 0xCB.
    assert_eq!(counts, [82 * 256, 82 * 256, 22 * 256, (256 - 186) * 256]);
    assert_eq!(
        Frame::decode(0x0B_A0),
        Frame::Command {
            to: Address::Short(5),
            code: 0xA0
        }
    );
    assert_eq!(
        Frame::decode(0x92_FE),
        Frame::Level {
            to: Address::Group(9),
            number: 254
        }
    );
}

/// A group and a short address are heard once given, and no longer once taken.
#[test]
fn addressing() {
    for group in 0..16 {
        let frame = 0x8000 | u16::from(group) << 9 | 150;
        let mut bus = Bus::new();
        assert_eq!(bus.frame(frame).movement, None);
        bus.set(0x60 | group, 0);
        assert!(bus.frame(frame).movement.is_some());
        let expected = 1u16 << group;
        assert_eq!(bus.query(0xC0), Some(expected as u8));
        assert_eq!(bus.query(0xC1), Some((expected >> 8) as u8));
        bus.set(0x70 | group, 0);
        assert_eq!(bus.frame(frame).movement, None);
    }
    for short in 0..64 {
        let frame = u16::from(short) << 9 | 150;
        let mut bus = Bus::new();
        assert_eq!(bus.frame(frame).movement, None);
        assert!(bus.frame(0xFC96).movement.is_some());
        bus.set(SHORT_ADDRESS, short << 1 | 1);
        assert!(bus.frame(frame).movement.is_some());
        assert_eq!(bus.frame(0xFC96).movement, None);
        bus.set(SHORT_ADDRESS, 255);
        assert_eq!(bus.frame(frame).movement, None);
    }
}
