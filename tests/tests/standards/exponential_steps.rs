//! How many steps of equal ratio a curve has from its depth to full, counted on the curve.

use milliglow::Light;
use milliglow::curve::{Curve, Exponential};
use milliglow_tests::data::{Row, rows};

/// Walks from the lowest light in steps of `1 + step`: whole steps, and the rest as a part of a step in Levels.
fn count(curve: Curve, lowest: f64, step: f64) -> f64 {
    let level_at = |steps: i32| {
        let light = lowest * (1.0 + step).powi(steps);
        (light < 1.0)
            .then(|| curve.level(Light::from_bits((light * 4_294_967_296.0).round() as u32)))
    };
    let (whole, last) = (0..)
        .map_while(|n| Some((n, level_at(n)?)))
        .last()
        .expect("the lowest light");
    let levels_a_step = f64::from(last.to_bits() - 1) / f64::from(whole);
    f64::from(whole) + f64::from(u16::MAX - last.to_bits()) / levels_a_step
}

fn curve_of(row: &Row) -> Curve {
    Curve::Exponential(Exponential::new(row.number("range_ratio"), 0).expect("allowed"))
}

/// Levels are whole: one of 65 534 either way.
#[test]
fn as_many_as_the_logarithms_say() {
    for row in rows("curve_exponential_steps.csv") {
        let exact: f64 = row.number("steps_exact");
        let counted = count(
            curve_of(&row),
            1.0 / row.number::<f64>("range_ratio"),
            row.number("step_fraction"),
        );
        let off = counted / exact - 1.0;
        assert!(
            off.abs() <= 3.5e-5,
            "{}: {counted}, not {exact}",
            row.text("range_ratio")
        );
        assert_eq!(counted.ceil(), row.number::<f64>("steps_rounded_up"));
    }
}

/// A linear scale must resolve a step of the lowest light; 32 bits do so for all of them.
#[test]
fn linear_bits_at_the_bottom() {
    for row in rows("curve_exponential_steps.csv") {
        let curve = curve_of(&row);
        let lowest = curve.light(milliglow::Level::from_bits(1)).as_f64();
        let bits = -(lowest * row.number::<f64>("step_fraction")).log2();
        let expected: f64 = row.number("linear_bits_needed_at_bottom");
        assert!((bits - expected).abs() <= 1e-4, "{bits}, not {expected}");
        assert!(bits < 32.0);
    }
}
