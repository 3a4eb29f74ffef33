//! What a gear counts of the frames that come in.

use crate::control_gear::*;
use milliglow::bus::iec62386::{Counts, Frame};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

#[test]
fn each_kind_of_frame() {
    let mut bus = Bus::new();
    bus.level(150);
    bus.frame(0x0196); // short address 0
    bus.frame(0xCC00); // reserved
    bus.command(0x0B); // no such command
    bus.command(0x20); // to come twice, came once
    bus.command(OFF);
    bus.set(SET_FADE_TIME, 4);
    bus.command(0x20);
    bus.now_ms += 101;
    bus.command(0x20); // too late: waits anew
    bus.register(0, 1);
    let expected = Counts {
        taken: 10,
        others: 1,
        unknown: 2,
        single: 3,
    };
    assert_eq!(bus.gear.counts(), expected);
}

proptest! {
    #![proptest_config(cases())]

    /// Every frame is counted once as taken, another's or reserved.
    #[test]
    fn nothing_is_missing(frames in prop::collection::vec(any::<u16>(), 0..400)) {
        let mut bus = Bus::new();
        frames.iter().for_each(|&frame| { bus.frame(frame); });
        let counts = bus.gear.counts();
        let reserved = frames.iter().filter(|&&frame| Frame::decode(frame) == Frame::Reserved);
        let (taken, others) = (usize::from(counts.taken), usize::from(counts.others));
        prop_assert_eq!(taken + others + reserved.count(), frames.len());
    }
}
