//! The shunted string against the integral of its current.

use milliglow_sim::optics::drivers::{Corner, Driver, DriverError, Gated, Shunt, ShuntFigures};

const TICK_S: f64 = 1e-6;

fn gated(figures: ShuntFigures) -> Gated {
    Gated::new(&Driver::Shunt(Shunt::new(figures).unwrap()), TICK_S, 1).unwrap()
}

/// W less the sag's area, `sag x recovery x (1 - exp(-W / recovery))`, whether it had recovered before or not.
#[test]
fn a_pulse_loses_its_sag() {
    let mut gated = gated(ShuntFigures {
        sag: 0.2,
        recovery_s: 3e-6,
        ..ShuntFigures::default()
    });
    for (on, off) in [(1, 1), (4, 2), (1, 30), (50, 1)] {
        let found: f64 = (0..on + off).map(|tick| gated.tick(tick < on)).sum();
        let width = f64::from(on);
        let expected = width - 0.2 * 3.0 * (1.0 - (-width / 3.0).exp());
        assert!((found - expected).abs() < 1e-9, "{on}: {found} {expected}");
    }
}

/// Edges on top of the sag, against the sum of ten thousand slices of the curve.
#[test]
fn edges_and_sag_multiply() {
    let figures = ShuntFigures {
        rise_s: 0.6e-6,
        fall_s: 1.7e-6,
        turn_on_delay_s: 0.25e-6,
        turn_off_delay_s: 0.1e-6,
        sag: 0.3,
        recovery_s: 0.8e-6,
        ..ShuntFigures::default()
    };
    let mut gated = gated(figures);
    // On at 0.25 us, off at 2.1 us, dark at 3.8 us.
    let current = |t: f64| {
        let gate =
            ((t - 0.25e-6) / 0.6e-6).clamp(0.0, 1.0) - ((t - 2.1e-6) / 1.7e-6).clamp(0.0, 1.0);
        gate * (1.0 - 0.3 * (-(t - 0.25e-6).max(0.0) / 0.8e-6).exp())
    };
    for tick in 0..6 {
        let mut corners: Vec<Corner> = Vec::new();
        let found = gated.trace(tick < 2, &mut corners);
        let begin = TICK_S * f64::from(tick);
        let slices =
            (0..10_000).map(|slice| current(begin + (f64::from(slice) + 0.5) * TICK_S / 10_000.0));
        let expected = slices.sum::<f64>() / 10_000.0;
        assert!(
            (found - expected).abs() < 1e-7,
            "{tick}: {found} {expected}"
        );
        for corner in corners {
            assert!(
                (corner.current - current(begin + corner.after_s)).abs() < 1e-9,
                "{tick} {corner:?}"
            );
        }
    }
}

#[test]
fn a_sag_needs_a_recovery() {
    let refused = Shunt::new(ShuntFigures {
        sag: 0.1,
        ..ShuntFigures::default()
    });
    assert!(matches!(
        refused,
        Err(DriverError::Figure {
            name: "recovery",
            ..
        })
    ));
    assert!(Shunt::new(ShuntFigures::default()).is_ok());
}
