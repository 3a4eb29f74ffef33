//! A target goes through the mailbox as it is.

use milliglow::fade::Pace;
use milliglow::luminaire::Target;
use milliglow::mailbox::Mailbox;
use milliglow::{Level, Recipe, Share};
use milliglow_tests::cases::{cases, fractions};
use proptest::array::uniform5;
use proptest::prelude::*;

static MAILBOX: Mailbox<4> = Mailbox::new();

#[test]
fn latest_only_and_once() {
    assert_eq!(MAILBOX.take_target::<1>(), None);
    let target = |level| Target {
        level: Level::from_bits(level),
        recipe: Recipe::new([Share::FULL]),
    };
    for level in 1..=3 {
        MAILBOX.post_target(&target(level), Pace::AT_ONCE);
    }
    assert_eq!(MAILBOX.take_target(), Some((target(3), Pace::AT_ONCE)));
    assert_eq!(MAILBOX.take_target::<1>(), None);
}

#[test]
fn ram() {
    assert_eq!(size_of::<Mailbox<8>>(), 16 * 8 + 40);
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn any_target(level: u16, begin: Option<u16>, shares in uniform5(fractions()), steps in fractions()) {
        let target = Target {
            level: Level::from_bits(level),
            recipe: Recipe::new(shares.map(Share::from_bits)),
        };
        let mailbox = Mailbox::<8>::new();
        mailbox.post_target(&target, Pace::new(steps));
        prop_assert_eq!(mailbox.take_target(), Some((target, Pace::new(steps))));
        let from = begin.filter(|&bits| bits != 0).map(Level::from_bits);
        mailbox.post_movement(from, &target, Pace::new(steps));
        prop_assert_eq!(mailbox.take_movement(), Some((from, target, Pace::new(steps))));
        prop_assert_eq!(mailbox.take_movement::<5>(), None);
    }
}
