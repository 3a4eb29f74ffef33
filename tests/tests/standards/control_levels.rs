//! The control levels of IEC 62386 against the tables, and against their continuous form.

use milliglow::curve::{ControlCurve, ControlLevel, Curve, Exponential};
use milliglow::{Error, Light};
use milliglow_tests::data::rows;

fn all() -> impl Iterator<Item = ControlLevel> {
    (1..=254).map(|number| ControlLevel::new(number).expect("1 to 254 are allowed"))
}

/// Relative for the formula, and half a unit of the last of nine decimals.
#[test]
fn logarithmic_table() {
    for row in rows("iec62386_log_curve.csv") {
        let level = ControlLevel::new(row.parsed("level")).expect("1 to 254");
        let expected: f64 = row.parsed("fraction");
        let got = ControlCurve::Logarithmic.light(level).as_f64();
        assert!(
            (got - expected).abs() <= 1e-6 * expected + 5.01e-10,
            "{level:?}: {got}, not {expected}"
        );
    }
}

#[test]
fn logarithmic_formula_at_every_control_level() {
    for level in all() {
        let percent = 10_f64.powf(f64::from(level.number() - 1) / (253.0 / 3.0) - 1.0);
        let off = ControlCurve::Logarithmic.light(level).as_f64() * 100.0 / percent - 1.0;
        assert!(off.abs() <= 1e-6, "{level:?}: {off:e}");
    }
}

#[test]
fn linear_table() {
    for row in rows("iec62386_linear_curve.csv") {
        let (expected, tolerance): (f64, f64) =
            (row.parsed("percent"), row.parsed("abs_tolerance"));
        let got = match ControlLevel::new(row.parsed("level")) {
            Ok(level) => ControlCurve::Linear.light(level).as_f64() * 100.0,
            Err(_) => 0.0,
        };
        assert!(
            (got - expected).abs() <= tolerance,
            "{}: {got}",
            row.text("level")
        );
    }
}

#[test]
fn linear_within_a_unit() {
    for level in all() {
        let exact = f64::from(level.number()) / 254.0 * 4_294_967_296.0;
        let off = f64::from(ControlCurve::Linear.light(level).to_bits()) - exact;
        assert!(off.abs() <= 1.0, "{level:?}: {off}");
    }
}

#[test]
fn ends() {
    let (lowest, full) = (ControlLevel::LOWEST, ControlLevel::FULL);
    for curve in [ControlCurve::Logarithmic, ControlCurve::Linear] {
        assert_eq!(curve.light(full), Light::FULL);
    }
    let thousandth = Light::from_ratio_nearest(1, 1_000).expect("a ratio");
    assert_eq!(ControlCurve::Logarithmic.light(lowest), thousandth);
    assert_eq!(ControlLevel::new(0), Err(Error::ControlLevel));
    assert_eq!(ControlLevel::new(255), Err(Error::ControlLevel));
}

#[test]
fn logarithmic_runs_along_the_continuous_curve() {
    for level in all() {
        let (curve, place) = ControlCurve::Logarithmic.continuous(level);
        assert_eq!(curve, Curve::Exponential(Exponential::IEC_LOGARITHMIC));
        assert_eq!(curve.light(place), ControlCurve::Logarithmic.light(level));
    }
}

#[test]
fn linear_is_the_nearest_level_of_the_continuous_curve() {
    for level in all() {
        let (curve, place) = ControlCurve::Linear.continuous(level);
        let exact = f64::from(level.number()) * 65_535.0 / 254.0;
        assert!(
            (f64::from(place.to_bits()) - exact).abs() <= 0.5,
            "{level:?}: {place:?}"
        );
        let off = curve.light(place).as_f64() - ControlCurve::Linear.light(level).as_f64();
        assert!(off.abs() <= 0.5 / 65_535.0 + 1e-9, "{level:?}: {off:e}");
    }
}

#[test]
fn the_inverse_gives_back_every_control_level_and_rounds_down() {
    for curve in [ControlCurve::Logarithmic, ControlCurve::Linear] {
        for level in all() {
            let light = curve.light(level);
            assert_eq!(curve.level(light), Some(level));
            let below = curve.level(Light::from_bits(light.to_bits() - 1));
            assert_eq!(below, ControlLevel::new(level.number() - 1).ok());
        }
        assert_eq!(curve.level(Light::BLACK), None);
    }
}
