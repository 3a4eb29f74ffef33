//! A fade can be turned, held and let go at any moment.

use milliglow::fade::{Fade, Pace};
use milliglow_tests::cases::{cases, fractions, log_uniform};
use proptest::array::uniform2;
use proptest::prelude::*;

fn paces() -> impl Strategy<Value = u32> {
    log_uniform(1..=200_000)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn turning_starts_from_here_and_forgets_where_it_came_from(
        from in uniform2(fractions()), to in uniform2(fractions()), then in uniform2(fractions()),
        steps in paces(), part in 0.0..=1.0, then_steps in paces(),
    ) {
        let mut turned = Fade::at(from);
        turned.start(&to, Pace::new(steps));
        (0..(f64::from(steps) * part) as u32).for_each(|_| turned.step());
        let here = turned.values();
        turned.start(&then, Pace::new(then_steps));
        prop_assert_eq!(turned.values(), here);
        let mut fresh = Fade::at(here);
        fresh.start(&then, Pace::new(then_steps));
        for _ in 0..then_steps {
            turned.step();
            fresh.step();
            prop_assert_eq!(turned.values(), fresh.values());
        }
        prop_assert_eq!((turned.values(), turned.remaining()), (then, 0));
    }

    #[test]
    fn a_pause_holds_and_nothing_else(
        from in uniform2(fractions()), to in uniform2(fractions()), steps in log_uniform(1..=70_000),
        part in 0.0..=1.0, held in 1_u32..1_000,
    ) {
        let mut paused = Fade::at(from);
        paused.start(&to, Pace::new(steps));
        (0..(f64::from(steps) * part) as u32).for_each(|_| paused.step());
        let mut unpaused = paused.clone();
        paused.pause();
        prop_assert!(paused.is_paused());
        (0..held).for_each(|_| paused.step());
        prop_assert_eq!((paused.values(), paused.remaining()), (unpaused.values(), unpaused.remaining()));
        paused.resume();
        prop_assert!(!paused.is_paused());
        while unpaused.remaining() > 0 {
            unpaused.step();
            paused.step();
            prop_assert_eq!((paused.values(), paused.remaining()), (unpaused.values(), unpaused.remaining()));
        }
        prop_assert_eq!(paused.values(), to);
    }

    #[test]
    fn a_new_start_ends_a_pause(from in fractions(), to in fractions(), steps in 1_u32..1_000) {
        let mut fade = Fade::at([from]);
        fade.start(&[to], Pace::new(steps));
        fade.pause();
        fade.start(&[to], Pace::new(steps));
        (0..steps).for_each(|_| fade.step());
        prop_assert_eq!((fade.values(), fade.is_paused()), ([to], false));
    }
}
