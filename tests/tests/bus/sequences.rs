//! Direct levels that form a sequence.

use crate::control_gear::*;

const ENABLE: u8 = 0x09;

/// Within 200 ms of each other each level fades in 200 ms, whatever the fade time; the first one later, or after
/// another command, takes the fade time.
#[test]
fn until_it_pauses_or_something_else_moves() {
    let mut bus = Bus::new();
    bus.level(100);
    bus.set(SET_FADE_TIME, 4);
    assert_eq!(bus.command(ENABLE), None);
    let steps = |bus: &mut Bus, pause: u32, number| {
        bus.now_ms += pause - 20;
        bus.level(number).expect("a movement").pace.steps()
    };
    assert_eq!(steps(&mut bus, 200, 120), 200);
    assert_eq!(steps(&mut bus, 200, 140), 200);
    assert_eq!(steps(&mut bus, 20, 130), 200);
    assert_eq!(steps(&mut bus, 201, 150), 2_000);
    assert_eq!(steps(&mut bus, 20, 160), 2_000, "it stays ended");
    bus.command(ENABLE);
    assert_eq!(steps(&mut bus, 20, 150), 200);
    bus.command(STEP_UP);
    assert_eq!(steps(&mut bus, 20, 150), 2_000);
    bus.command(ENABLE);
    assert_eq!(bus.query(ACTUAL).map(|level| level > 0), Some(true));
    assert_eq!(steps(&mut bus, 20, 170), 200, "a question does not end it");
}
