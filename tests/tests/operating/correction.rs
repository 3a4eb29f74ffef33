//! The density of a row gives the light that was asked for.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, Modulation, Stretch};
use milliglow::operating::{RangeRatio, Row};
use milliglow::{Level, Light, constant};
use milliglow_tests::cases::{cases, fractions};
use milliglow_tests::tables::{losses, row, stretches};
use proptest::prelude::*;

const FIRST_ORDER: Modulation = Modulation::FirstOrder;

/// The light of a first-order stream whose edges take `loss` decisions each.
fn light(density: Density, loss: f64) -> f64 {
    let density = density.as_f64();
    density - density.min(1.0 - density) * loss
}

/// With edges that take 30 % of a tick, at every Level from 0.1 to 100 %: 0.1 % is asked for, 0.004 % is had.
#[test]
fn light_is_that_of_the_curve_at_every_level() {
    let curve = Curve::Exponential(constant!(Exponential::new(1_000, 0)));
    let edges = row(Light::BLACK, 1, Stretch::One, 300, FIRST_ORDER);
    let (mut worst, mut uncorrected) = (0.0_f64, 0.0_f64);
    for level in 1..=u16::MAX {
        let asked = curve.light(Level::from_bits(level));
        let given = light(edges.density(asked), 0.3) / asked.as_f64() - 1.0;
        let raw = light(Density::from_light(asked), 0.3) / asked.as_f64() - 1.0;
        (worst, uncorrected) = (worst.max(given.abs()), uncorrected.max(raw.abs()));
    }
    assert!(worst < 4e-5, "{worst}");
    assert!((0.2999..0.3001).contains(&uncorrected), "{uncorrected}");
}

#[test]
fn a_plain_row_is_the_light_bit_for_bit() {
    for row in [
        Row::PLAIN,
        row(Light::BLACK, 1, Stretch::Four, 0, FIRST_ORDER),
    ] {
        for bits in (0..=u16::MAX).flat_map(|x| {
            [
                u32::from(x) << 16,
                u32::from(x),
                !u32::from(x),
                u32::from(x) * 65_537,
            ]
        }) {
            assert_eq!(row.density(Light::from_bits(bits)).to_bits(), bits);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 20_000, ..cases() })]

    #[test]
    fn within_the_stated_error(ratio in 1_u32..=1024, loss in losses(), stretch in stretches(), bits in fractions()) {
        let corrected = row(Light::BLACK, ratio, stretch, loss, FIRST_ORDER);
        let asked = Light::from_bits(((u64::from(bits) * u64::from(corrected.full().to_bits())) >> 32) as u32);
        let loss = f64::from(loss) / 1_000.0 / f64::from(stretch.ticks());
        let density = corrected.density(asked);
        let off = light(density, loss) / f64::from(ratio) - asked.as_f64();
        let asked = asked.as_f64();
        let part = if density.as_f64() <= 0.5 { asked } else { corrected.full().as_f64() - asked };
        // Full stands for 1, two units above the density below it.
        let units = if density == Density::FULL { 2.0 } else { 1.0 };
        let unit = units * f64::from(ratio) / 4_294_967_296.0;
        prop_assert!(off.abs() <= 3.1e-5 * part + unit, "{off:e} at {asked}");
    }

    #[test]
    fn never_falls_and_is_exact_at_both_ends(
        ratio in 1_u32..=1024, loss in losses(), stretch in stretches(), bits in fractions(), by in fractions(),
        booked: bool,
    ) {
        let modulation = if booked { Modulation::SecondOrder } else { FIRST_ORDER };
        let row = row(Light::BLACK, ratio, stretch, loss, modulation);
        let density = |bits: u32| row.density(Light::from_bits(bits));
        prop_assert_eq!(density(0), Density::NONE);
        prop_assert_eq!(density(u32::MAX), Density::FULL);
        prop_assert_eq!(row.density(row.full()), Density::FULL);
        prop_assert!(density(bits.saturating_add(by)) >= density(bits));
        prop_assert!(density(bits.saturating_add(1)) >= density(bits));
    }

    /// Around the knee, where the formula changes.
    #[test]
    fn continuous_at_the_knee(ratio in 1_u32..=1024, loss in losses(), stretch in stretches(), away in -40_i64..40) {
        let row = row(Light::BLACK, ratio, stretch, loss, FIRST_ORDER);
        let share = (1.0 - f64::from(loss) / 1_000.0 / f64::from(stretch.ticks())) / 2.0;
        let knee = (share / f64::from(ratio) * 4_294_967_296.0) as i64 + away;
        let (here, there) = (row.density(Light::from_bits(knee as u32)), row.density(Light::from_bits(knee as u32 + 1)));
        prop_assert!(here <= there);
        // The step of one unit of light times the gain, and the rounding of both formulas.
        let gain = f64::from(ratio) * 20.0 / 4_294_967_296.0;
        prop_assert!(there.as_f64() - here.as_f64() <= 3.1e-5 + gain, "{here:?} {there:?}");
    }
}

#[test]
fn the_ratio_is_rounded_to_the_nearest() {
    let ratio = RangeRatio::from_ratio_nearest(22, 7).unwrap();
    assert_eq!(
        ratio.to_bits(),
        (22.0_f64 / 7.0 * 1_048_576.0).round() as u32
    );
}
