//! The product share x light.

use milliglow::{Light, Share};
use milliglow_tests::cases::{cases, fractions};
use proptest::prelude::*;

/// In units of 2^-32; the largest value stands for 1.
fn exact(bits: u32) -> i128 {
    if bits == u32::MAX {
        1 << 32
    } else {
        i128::from(bits)
    }
}

fn product(share: u32, light: u32) -> u32 {
    Share::from_bits(share)
        .of(Light::from_bits(light))
        .to_bits()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100_000, ..cases() })]

    #[test]
    fn within_two_units_of_the_exact_product(share in fractions(), light in fractions()) {
        let off = (exact(product(share, light)) << 32) - exact(share) * exact(light);
        prop_assert!((-(1_i128 << 32) + 1..=2 << 32).contains(&off), "{off}");
    }

    #[test]
    fn exact_at_both_ends(x in fractions()) {
        prop_assert_eq!([product(x, 0), product(0, x)], [0, 0]);
        prop_assert_eq!([product(x, u32::MAX), product(u32::MAX, x)], [x, x]);
    }

    #[test]
    fn never_falls_when_a_factor_rises(share in fractions(), light in fractions(), by in fractions()) {
        prop_assert!(product(share.saturating_add(by), light) >= product(share, light));
        prop_assert!(product(share, light.saturating_add(by)) >= product(share, light));
        prop_assert!(product(share.saturating_add(1), light) >= product(share, light));
        prop_assert!(product(share, light.saturating_add(1)) >= product(share, light));
    }

    #[test]
    fn relative_error_at_a_thousandth(share in (u32::MAX / 20)..) {
        let light = u32::MAX / 1_000;
        let exact = exact(share) as f64 * exact(light) as f64 / 4_294_967_296.0;
        let off = f64::from(product(share, light)) / exact - 1.0;
        let allowed = if share == u32::MAX { 5e-7 } else { 1e-5 };
        prop_assert!(off.abs() <= allowed, "{off}");
    }
}
