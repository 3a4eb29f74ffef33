//! What the bus costs in RAM, and that its states can stand in a `static` and are not copied by accident.

use crate::console::configuration;
use crate::control_gear::CONFIGURATION;
use milliglow::bus::dmx512::{Slots, Width};
use milliglow::bus::iec62386::{Gear, Settings};
use milliglow::bus::stored::Playback;
use milliglow::bus::{ControlClock, Late, Movement};
use milliglow::constant;

static GEAR: Gear = constant!(Gear::new(&CONFIGURATION));
static SLOTS: Slots<1> = constant!(Slots::new(&configuration(Width::Coarse)));
static CLOCK: ControlClock = constant!(ControlClock::new(1_000, Late::Hold, 500));

/// Ambiguous, so not compiled, for a type that is `Copy`.
trait NotCopy<Which> {
    fn checked() {}
}
impl<T: Clone> NotCopy<()> for T {}
impl<T: Copy> NotCopy<u8> for T {}

#[test]
fn states_are_clone_and_not_copy() {
    <Gear as NotCopy<_>>::checked();
    <Slots<1> as NotCopy<_>>::checked();
    <ControlClock as NotCopy<_>>::checked();
    <Playback<4> as NotCopy<_>>::checked();
}

#[test]
fn sizes() {
    assert_eq!(size_of_val(&GEAR), 384);
    assert_eq!(size_of::<Settings>(), 268);
    assert_eq!(size_of_val(&SLOTS), 78 + 110);
    assert_eq!(size_of::<Slots<5>>() - size_of::<Slots<1>>(), 4 * 110);
    assert_eq!(size_of_val(&CLOCK), 28);
    assert_eq!(size_of::<Playback<4>>(), 12);
    assert_eq!(size_of::<Movement>(), 28);
}
