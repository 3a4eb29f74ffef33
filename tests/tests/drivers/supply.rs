//! Ripple and bursts of a supply, and figures against current.

use std::f64::consts::PI;

use milliglow_sim::colour::Xy;
use milliglow_sim::optics::drivers::{
    Burst, DriverError, Knot, OverCurrent, Ripple, Supply, SupplyFigures,
};

fn rippling(hz: f64, depth: f64) -> Supply {
    Supply::new(SupplyFigures {
        ripple: Some(Ripple { hz, depth }),
        burst: None,
    })
    .unwrap()
}

/// The rectified sine sampled in the middle of each slice.
#[test]
fn ripple_is_that_of_rectified_mains() {
    for (hz, depth, sensitivity) in [(100.0, 0.2, 1.0), (120.0, 1.0, 0.5), (100.0, 0.05, -0.3)] {
        let supply = rippling(hz, depth);
        let mean = 1.0 - depth + depth * 2.0 / PI;
        let (slices, mut sum) = (5_000_u32, 0.0);
        for slice in 0..slices {
            let (begin, end) = (f64::from(slice) / hz / 1e3, f64::from(slice + 1) / hz / 1e3);
            let volts = 1.0 - depth + depth * (PI * hz * (begin + end) / 2.0).sin().abs();
            let expected = 1.0 + sensitivity * (volts / mean - 1.0);
            let found = supply.factor(sensitivity, 1.0, begin, end);
            // A slice bends by up to (pi / 1000)^2 / 24 of the ripple.
            assert!(
                (found - expected).abs() < 1e-6,
                "{slice}: {found} {expected}"
            );
            sum += found;
        }
        assert!((sum / f64::from(slices) - 1.0).abs() < 1e-9, "{sum}");
    }
}

#[test]
fn bursts_come_below_their_load_only() {
    let burst = Burst {
        below_load: 0.05,
        hz: 2_000.0,
        depth: 0.1,
    };
    let supply = Supply::new(SupplyFigures {
        ripple: None,
        burst: Some(burst),
    })
    .unwrap();
    assert_eq!(supply.factor(1.0, 0.05, 0.0, 1e-6), 1.0);
    // A sawtooth from +5 % down to -5 %.
    for (at, expected) in [
        (0.0, 1.05),
        (0.125e-3, 1.025),
        (0.25e-3, 1.0),
        (0.499e-3, 0.9502),
        (0.5e-3, 1.05),
    ] {
        let found = supply.factor(1.0, 0.01, at, at + 1e-9);
        assert!((found - expected).abs() < 1e-5, "{at}: {found}");
    }
    assert!((supply.factor(1.0, 0.01, 0.0, 5e-3) - 1.0).abs() < 1e-12);
}

#[test]
fn a_steady_supply_and_an_insensitive_driver_change_nothing() {
    assert_eq!(Supply::default().factor(1.0, 0.0, 0.0, 1.0), 1.0);
    assert_eq!(rippling(100.0, 1.0).factor(0.0, 1.0, 0.0, 1e-3), 1.0);
}

#[test]
fn impossible_supplies_are_refused() {
    for (hz, depth) in [(0.0, 0.1), (100.0, 1.1), (f64::NAN, 0.1), (100.0, f64::NAN)] {
        let figures = SupplyFigures {
            ripple: Some(Ripple { hz, depth }),
            burst: None,
        };
        assert!(matches!(
            Supply::new(figures),
            Err(DriverError::Figure { .. })
        ));
    }
}

fn knot(current: f64, efficacy: f64, x: f64) -> Knot {
    Knot {
        current,
        efficacy,
        xy: Xy { x, y: 0.4 },
    }
}

/// Figures invented: an efficacy that droops, a chromaticity that moves.
#[test]
fn light_and_colour_follow_the_knots() {
    let table = OverCurrent::new(&[
        knot(0.1, 1.2, 0.442),
        knot(0.5, 1.1, 0.441),
        knot(1.0, 1.0, 0.44),
    ])
    .unwrap();
    assert!((table.light(0.1) - 0.12).abs() < 1e-12);
    assert!((table.light(0.05) - 0.06).abs() < 1e-12);
    assert!((table.light(0.3) - 0.345).abs() < 1e-12);
    assert!((table.light(2.0) - 2.0).abs() < 1e-12);
    assert!((table.xy(0.75).x - 0.4405).abs() < 1e-12);
    assert!((table.xy(0.5).x - 0.441).abs() < 1e-12);
    assert_eq!(OverCurrent::new(&[]), Err(DriverError::Knots));
    assert_eq!(
        OverCurrent::new(&[knot(0.5, 1.0, 0.4), knot(0.5, 1.0, 0.4)]),
        Err(DriverError::Knots)
    );
    assert!(matches!(
        OverCurrent::new(&[knot(0.0, 1.0, 0.4)]),
        Err(DriverError::Figure { .. })
    ));
}
