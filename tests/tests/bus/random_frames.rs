//! For any frames: the light stays within its limits, no step is larger than the command's, every fade takes the time of the settings and ends then.

use crate::asked_time::AskedTime;
use crate::control_gear::*;
use crate::frames::assert_held;
use milliglow::Level;
use milliglow::bus::Movement;
use milliglow::bus::iec62386::Configuration;
use milliglow::curve::ControlCurve;
use milliglow::fade::{Fade, Pace};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

/// Frames that a real bus would carry, and any others.
fn frame() -> impl Strategy<Value = u16> {
    prop_oneof![
        2 => any::<u16>(),
        3 => (0u16..=255).prop_map(|level| 0xFE00 | level),
        3 => (0u16..=0x1F).prop_map(|command| 0xFF00 | command),
        2 => (0x20u16..=0x80).prop_map(|command| 0xFF00 | command),
        2 => (0xE0u16..=0xFA).prop_map(|command| 0xFF00 | command),
        2 => Just(0xC108),
        2 => (0usize..4, 0u16..=255).prop_map(|(index, value)| {
            [0xA300 | value, 0xC300 | value, 0xC500 | value, 0xC108][index]
        }),
    ]
}

/// A frame, whether it comes twice, and the control steps to the next: now and then none.
pub(crate) fn event() -> impl Strategy<Value = (u16, bool, u32)> {
    (frame(), any::<bool>(), prop_oneof![Just(0u32), 1u32..300])
}

/// Carries movements out as a luminaire would, and knows what the one that runs allows.
struct Follower {
    fade: Fade<1>,
    /// Levels that a control step may move: the distance over the time, rounded up.
    allowed: u32,
    due: u32,
}

impl Follower {
    fn level(&self) -> Level {
        Level::from_bits(self.fade.values()[0] as u16)
    }

    fn take(&mut self, movement: &Movement) {
        if let Some(from) = movement.from {
            self.fade.start(&[from.to_bits().into()], Pace::AT_ONCE);
        }
        let distance = u32::from(self.level().to_bits().abs_diff(movement.level.to_bits()));
        self.due = movement.pace.steps();
        self.allowed = distance.div_ceil(self.due.max(1));
        self.fade
            .start(&[movement.level.to_bits().into()], movement.pace);
    }
}

/// Gear and luminaire side by side, frame by frame and control step by control step.
fn follow(curve: ControlCurve, events: &[(u16, bool, u32)]) {
    let mut bus = Bus::with(&Configuration {
        curve,
        ..CONFIGURATION
    });
    let mut asked = AskedTime::new();
    let mut light = Follower {
        fade: Fade::at([0]),
        allowed: 0,
        due: 0,
    };
    for &(frame, twice, steps) in events {
        for _ in 0..=u32::from(twice) {
            let before = bus.gear.level();
            let heard = AskedTime::before(&bus);
            let movement = bus.frame(frame).movement;
            asked.check(&heard, &bus, frame, movement.as_ref());
            if let Some(movement) = movement {
                check_step(&bus, frame, before, &movement);
                light.take(&movement);
            }
            assert_eq!(light.level(), bus.gear.level(), "{frame:04x}");
            assert_held(&mut bus, &format!("{frame:04x}"));
        }
        for _ in 0..steps {
            let before = light.level();
            light.fade.step();
            light.due = light.due.saturating_sub(1);
            let moved = u32::from(light.level().to_bits().abs_diff(before.to_bits()));
            assert!(
                moved <= light.allowed,
                "a jump of {moved}, not {}",
                light.allowed
            );
            if let Some(off) = bus.gear.control_step() {
                assert_eq!((off.level, light.due), (Level::OFF, 0), "off on time");
                light.take(&off);
            }
            assert_eq!(light.level(), bus.gear.level());
            assert_eq!(light.fade.remaining(), light.due, "ends on time");
        }
        assert_held(&mut bus, &format!("after {frame:04x}"));
        bus.now_ms += steps;
    }
}

/// Steps and runs leave the level by what they say; nothing that takes time jumps, but from off to the minimum.
fn check_step(bus: &Bus, frame: u16, before: Level, movement: &Movement) {
    let after = bus.gear.level();
    let jump = f64::from(before.to_bits().abs_diff(after.to_bits())) / 258.0;
    if movement.pace.steps() != 0 {
        assert!(jump == 0.0 || (before == Level::OFF && movement.from == Some(after)));
    }
    let lit = before != Level::OFF && after != Level::OFF;
    match frame & 0x01FF {
        // From between two levels a step leads from the nearest to the next.
        0x103 | 0x104 if lit => assert!(jump <= 1.51, "{frame:04x}: {jump}"),
        0x101 | 0x102 => assert_eq!(jump, 0.0),
        _ => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..cases() })]

    #[test]
    fn any_frames(events in prop::collection::vec(event(), 10_000)) {
        follow(ControlCurve::Logarithmic, &events);
        follow(ControlCurve::Linear, &events);
    }
}
