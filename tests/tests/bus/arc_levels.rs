//! From control levels to Levels and light, and back.

use milliglow::curve::{ControlCurve, ControlLevel};
use milliglow::{Level, Light};
use milliglow_tests::data::rows;

const CURVES: [ControlCurve; 2] = [ControlCurve::Logarithmic, ControlCurve::Linear];

fn level(number: u8) -> ControlLevel {
    ControlLevel::new(number).expect("1 to 254")
}

/// The table's rule is the nearest level, by the exact inverse of the curve.
#[test]
fn percent_to_level() {
    for row in rows("iec62386_percent_to_level.csv") {
        let (percent, expected): (f64, u8) = (row.parsed("percent"), row.parsed("level_nearest"));
        let light = Light::from_bits((percent / 100.0 * 4_294_967_295.0).round() as u32);
        let (curve, _) = ControlCurve::Logarithmic.continuous(ControlLevel::FULL);
        let place = curve.level(light);
        let got = ControlCurve::Logarithmic.nearest(place);
        assert_eq!(got, Some(level(expected)), "{percent} %");
    }
}

#[test]
fn nearest_is_the_inverse_of_continuous() {
    for curve in CURVES {
        for number in 1..=254 {
            let (_, place) = curve.continuous(level(number));
            assert_eq!(curve.nearest(place), Some(level(number)), "{curve:?}");
        }
    }
}

/// Over all Levels; a tie may go either way.
#[test]
fn nearest_is_the_nearest() {
    for bits in 1..=u16::MAX {
        let place = f64::from(bits);
        let exact = [(place + 251.0) / 259.0, place * 254.0 / 65_535.0];
        for (curve, exact) in CURVES.into_iter().zip(exact) {
            let got = curve.nearest(Level::from_bits(bits)).expect("lit").number();
            let off = (f64::from(got) - exact.clamp(1.0, 254.0)).abs();
            assert!(off <= 0.502, "{curve:?}, Level {bits}: {got}, not {exact}");
        }
    }
    assert_eq!(CURVES[0].nearest(Level::OFF), None);
}

/// The lowest control level that is not below the lowest light: at each control level's light, and a unit above.
#[test]
fn physical_minimum() {
    for curve in CURVES {
        for number in 1..=254 {
            let light = curve.light(level(number));
            assert_eq!(
                ControlLevel::physical_minimum(curve, light),
                level(number),
                "{curve:?}"
            );
            let above = Light::from_bits(light.to_bits().saturating_add(1));
            let next = level(number.saturating_add(1).min(254));
            assert_eq!(
                ControlLevel::physical_minimum(curve, above),
                next,
                "{curve:?}"
            );
        }
        assert_eq!(
            ControlLevel::physical_minimum(curve, Light::BLACK),
            ControlLevel::LOWEST
        );
    }
}

/// IEC 62386-207:2018, 9.3.3: the physical minimum output is the same on both curves, as nearly as levels allow.
#[test]
fn physical_minimum_on_both_curves_is_the_same_light() {
    for permille in 1..=1000 {
        let lowest = Light::from_ratio_nearest(permille, 1000).expect("at most 1");
        for curve in CURVES {
            let minimum = ControlLevel::physical_minimum(curve, lowest);
            assert!(curve.light(minimum) >= lowest);
            if let Ok(below) = ControlLevel::new(minimum.number() - 1) {
                assert!(curve.light(below) < lowest, "{curve:?} {permille}");
            }
        }
    }
}
