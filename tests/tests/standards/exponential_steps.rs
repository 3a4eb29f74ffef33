//! How many steps of equal ratio a curve has from its depth to full, counted on the curve.

use milliglow::curve::{Curve, Exponential};
use milliglow::{Level, Light};
use milliglow_tests::data::{Row, rows};

/// The Levels at which a walk in steps of `1 + step` from the lowest light stops short of full.
fn places(curve: Curve, lowest: f64, step: f64) -> Vec<Level> {
    let lights = (0..).map(|n| lowest * (1.0 + step).powi(n));
    let below_full = lights.take_while(|&light| light < 1.0);
    below_full
        .map(|light| curve.level(Light::from_bits((light * 4_294_967_296.0).round() as u32)))
        .collect()
}

fn curve_of(row: &Row) -> Curve {
    Curve::Exponential(Exponential::new(row.parsed("range_ratio"), 0).expect("allowed"))
}

/// Every step takes as many Levels as any other, to within the Level that the inverse rounds down by.
#[test]
fn as_many_as_the_logarithms_say() {
    for row in rows("curve_exponential_steps.csv") {
        let lowest = 1.0 / row.parsed::<f64>("range_ratio");
        let places = places(curve_of(&row), lowest, row.parsed("step_fraction"));
        let levels_a_step = 65_534.0 / row.parsed::<f64>("steps_exact");
        for (n, place) in places.iter().enumerate() {
            let off = f64::from(place.to_bits()) - (1.0 + n as f64 * levels_a_step);
            assert!(
                (-1.1..=0.1).contains(&off),
                "{place:?} after {n} steps: {off}"
            );
        }
        assert_eq!(places.len(), row.parsed::<usize>("steps_rounded_up"));
    }
}

/// A linear scale must resolve a step of the lowest light; 32 bits do so for all of them.
#[test]
fn linear_bits_at_the_bottom() {
    for row in rows("curve_exponential_steps.csv") {
        let curve = curve_of(&row);
        let lowest = curve.light(Level::from_bits(1)).as_f64();
        let bits = -(lowest * row.parsed::<f64>("step_fraction")).log2();
        let expected: f64 = row.parsed("linear_bits_needed_at_bottom");
        assert!((bits - expected).abs() <= 1e-4, "{bits}, not {expected}");
        assert!(bits < 32.0);
    }
}
