//! Commands that change settings count only when sent twice within 100 ms.

use crate::control_gear::*;

const SET: u16 = 0xFF00 | SET_MAXIMUM as u16;

/// The maximum after the command at 0 and the frames that follow.
fn maximum(frames: &[(u16, u32)], start_ms: u32) -> Option<u8> {
    let mut bus = Bus::new();
    bus.register(0, 200);
    bus.gear.receive(SET, start_ms);
    for &(frame, after_ms) in frames {
        bus.gear.receive(frame, start_ms.wrapping_add(after_ms));
    }
    bus.query(0xA1)
}

#[test]
fn taken_within_the_time_only() {
    for start_ms in [0, 1_000, u32::MAX, u32::MAX - 50] {
        assert_eq!(maximum(&[], start_ms), Some(254));
        for after_ms in 0..=100 {
            assert_eq!(
                maximum(&[(SET, after_ms)], start_ms),
                Some(200),
                "{after_ms}"
            );
        }
        for after_ms in [101, 102, 200, 65_536, u32::MAX] {
            assert_eq!(
                maximum(&[(SET, after_ms)], start_ms),
                Some(254),
                "{after_ms}"
            );
        }
        // Too late is a new first one.
        assert_eq!(maximum(&[(SET, 150), (SET, 250)], start_ms), Some(200));
    }
}

/// The same command to another address is not the same again.
#[test]
fn the_whole_frame_comes_twice() {
    for (other, taken) in [(SET, true), (0xFD2A, false), (0x8B2A, false)] {
        let mut bus = Bus::new();
        bus.set(0x65, 0);
        bus.register(0, 200);
        bus.frame(SET);
        bus.frame(other);
        assert_eq!(
            bus.query(0xA1),
            Some(if taken { 200 } else { 254 }),
            "{other:x}"
        );
    }
}

/// A frame for this gear between them breaks the pair; one for others does not.
#[test]
fn what_comes_between() {
    for breaks in [0xFFA0, 0xFE80, 0xFF2B, 0xA3C8, 0xC108] {
        assert_eq!(
            maximum(&[(breaks, 30), (SET, 60)], 0),
            Some(254),
            "{breaks:x}"
        );
    }
    for passes in [0x0180, 0x8101, 0xE000, 0xA900] {
        assert_eq!(
            maximum(&[(passes, 30), (SET, 60)], 0),
            Some(200),
            "{passes:x}"
        );
    }
}

/// All numbers: those that need a repetition do nothing the first time, and nothing a second time without it.
#[test]
fn once_is_nothing() {
    for code in 0x20..=0x80 {
        let mut bus = Bus::new();
        bus.level(120);
        bus.register(0, 77);
        let before = format!("{:?}", bus.gear.settings());
        for _ in 0..3 {
            assert_eq!(bus.command(code), None);
            bus.now_ms += 200;
        }
        assert_eq!(format!("{:?}", bus.gear.settings()), before, "{code:x}");
    }
}
