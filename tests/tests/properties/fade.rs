//! A fade is on the exact line at every step.

use milliglow::fade::{Fade, Pace};
use milliglow_tests::cases::{cases, fractions, log_uniform};
use proptest::array::uniform3;
use proptest::prelude::*;

/// Where a value is after `step` of `steps`: floor(distance x step / steps) from where it began. 64 bits hold the product.
fn on_the_line(from: u32, to: u32, step: u32, steps: u32) -> u32 {
    let moved = u64::from(from.abs_diff(to)) * u64::from(step) / u64::from(steps);
    if to >= from {
        from + moved as u32
    } else {
        from - moved as u32
    }
}

/// Steps a fade `count` times and holds each value against the line.
pub(crate) fn follow<const N: usize>(
    from: [u32; N],
    to: [u32; N],
    steps: u32,
    count: u32,
) -> Result<(), TestCaseError> {
    let mut fade = Fade::at(from);
    fade.start(&to, Pace::new(steps));
    for step in 1..=count {
        fade.step();
        let values = fade.values();
        for ((&value, &from), &to) in values.iter().zip(&from).zip(&to) {
            let line = on_the_line(from, to, step, steps);
            prop_assert!(
                value == line,
                "{from} to {to}, step {step} of {steps}: {value}, not {line}"
            );
        }
        prop_assert_eq!(fade.remaining(), steps - step);
    }
    if count == steps {
        prop_assert_eq!(fade.values(), to);
        fade.step();
        prop_assert_eq!(fade.values(), to);
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn exact_at_every_step(from in uniform3(fractions()), to in uniform3(fractions()), steps in 1_u32..=70_000) {
        follow(from, to, steps, steps)?;
    }

    #[test]
    fn exact_at_every_step_of_short_fades(
        from in uniform3(fractions()), to in uniform3(fractions()), steps in log_uniform(1..=70_000),
    ) {
        follow(from, to, steps, steps)?;
    }

    #[test]
    fn exact_on_the_longest_short_and_the_shortest_long_pace(from in fractions(), to in fractions()) {
        for steps in [65_535, 65_536] {
            follow([from], [to], steps, steps)?;
        }
    }

    #[test]
    fn exact_from_the_first_step_at_any_length(
        from in uniform3(fractions()), to in uniform3(fractions()), steps in log_uniform(1..=u32::MAX),
    ) {
        follow(from, to, steps, steps.min(3_000))?;
    }

    #[test]
    fn never_backwards(from in fractions(), to in fractions(), steps in log_uniform(1..=u32::MAX)) {
        let mut fade = Fade::at([from]);
        fade.start(&[to], Pace::new(steps));
        let mut before = from;
        for _ in 0..steps.min(3_000) {
            fade.step();
            let [value] = fade.values();
            let ahead = if to >= from { before..=to } else { to..=before };
            prop_assert!(ahead.contains(&value));
            before = value;
        }
    }

    #[test]
    fn at_once_is_there_without_a_step(from in uniform3(fractions()), to in uniform3(fractions())) {
        let mut fade = Fade::at(from);
        fade.start(&to, Pace::AT_ONCE);
        prop_assert_eq!((fade.values(), fade.remaining()), (to, 0));
        fade.step();
        prop_assert_eq!(fade.values(), to);
    }
}
