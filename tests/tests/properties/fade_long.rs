//! Long fades, stepped to the end.

use milliglow_tests::cases::{cases, fractions};
use proptest::prelude::*;

use crate::fade::follow;

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn exact_up_to_arrival(
        from in [fractions(), fractions()], to in [fractions(), fractions()], steps in 65_536_u32..=400_000,
    ) {
        follow(from, to, steps, steps)?;
    }
}

/// The extremes of distance, on lengths that divide 2^32 and that do not.
#[test]
fn extremes_arrive() {
    for steps in [65_537, 131_071, 131_072, 262_143, 400_000] {
        follow([0, u32::MAX, 1, 0], [u32::MAX, 0, 0, 1], steps, steps).expect("on the line");
    }
}
