//! Whether a driver still follows its stream, and what hinders it.

use milliglow_sim::optics::drivers::{
    Buck, BuckFigures, Driver, Exponential, ExponentialFigures, Hindrance, Shunt, ShuntFigures,
    Slew, SlewFigures,
};

fn slew(rise_s: f64, turn_on_delay_s: f64) -> Driver {
    let figures = SlewFigures {
        rise_s,
        turn_on_delay_s,
        ..SlewFigures::default()
    };
    Driver::Slew(Slew::new(figures).unwrap())
}

/// 24 V to 9.6 V, 47 uH: 1.6 us from zero; figures invented.
fn buck(inductance_h: f64, output_f: f64) -> Driver {
    let figures = BuckFigures {
        supply_v: 24.0,
        string_v: 9.6,
        string_ohm: 2.0,
        diode_v: 0.4,
        inductance_h,
        output_f,
        set_a: 0.5,
        off_time_s: 2e-6 * inductance_h / 47e-6,
        delay_s: 0.0,
    };
    Driver::Buck(Buck::new(figures).unwrap())
}

fn hindrance(driver: &Driver, tick_s: f64, stretch: u32) -> Option<Hindrance> {
    driver.following(tick_s, stretch).unwrap().hindrance
}

#[test]
fn the_cause_is_named() {
    assert_eq!(hindrance(&Driver::Ideal, 1e-9, 1), None);
    assert_eq!(hindrance(&slew(300e-9, 0.0), 333e-9, 1), None);
    assert_eq!(
        hindrance(&slew(600e-9, 0.0), 333e-9, 1),
        Some(Hindrance::Rise)
    );
    assert_eq!(hindrance(&slew(600e-9, 0.0), 333e-9, 2), None);
    assert_eq!(
        hindrance(&slew(100e-9, 300e-9), 333e-9, 1),
        Some(Hindrance::Rise)
    );
    // A gated buck needs microseconds from zero and cannot follow shorter pulses.
    assert_eq!(
        hindrance(&buck(47e-6, 0.0), 333e-9, 1),
        Some(Hindrance::Inductor)
    );
    assert_eq!(hindrance(&buck(47e-6, 0.0), 333e-9, 16), None);
    assert_eq!(
        hindrance(&buck(47e-6, 10e-6), 333e-9, 16),
        Some(Hindrance::Capacitor)
    );
    assert_eq!(hindrance(&buck(1e-6, 0.0), 333e-9, 1), None);
    assert_eq!(
        hindrance(&buck(1e-6, 10e-6), 333e-9, 1),
        Some(Hindrance::Capacitor)
    );
    let shunt = |rise_s| {
        let figures = ShuntFigures {
            rise_s,
            sag: 0.05,
            recovery_s: 5e-6,
            ..ShuntFigures::default()
        };
        Driver::Shunt(Shunt::new(figures).unwrap())
    };
    assert_eq!(hindrance(&shunt(100e-9), 333e-9, 1), None);
    assert_eq!(hindrance(&shunt(400e-9), 333e-9, 1), Some(Hindrance::Rise));
}

/// Both sides of the limit: an exponential rise is at 90 % after ln 10 time constants.
#[test]
fn a_pulse_comes_up_to_nine_tenths() {
    let driver = |constant_s| {
        let figures = ExponentialFigures {
            rise_constant_s: constant_s,
            ..ExponentialFigures::default()
        };
        Driver::Exponential(Exponential::new(figures).unwrap())
    };
    let limit = 1e-6 / 10.0_f64.ln();
    assert_eq!(hindrance(&driver(limit * 0.999), 1e-6, 1), None);
    assert_eq!(
        hindrance(&driver(limit * 1.001), 1e-6, 1),
        Some(Hindrance::Rise)
    );
    let following = driver(limit).following(1e-6, 1).unwrap();
    assert!((following.peak - 0.9).abs() < 1e-9);
    assert!((following.charge - (1.0 - 0.9 / 10.0_f64.ln())).abs() < 1e-9);
    assert!((following.in_time - 1.0).abs() < 1e-12);
}

/// And is over one decision later: a fall of n decisions holds half of the charge of its triangle.
#[test]
fn a_pulse_ends_in_time() {
    let driver = |fall_s| {
        Driver::Slew(
            Slew::new(SlewFigures {
                fall_s,
                ..SlewFigures::default()
            })
            .unwrap(),
        )
    };
    // 1 + n / 2 in all, 1 + 1 - 1 / (2 n) in time: 0.9 of it at n = 2.1026.
    let in_time = |fall: f64| (2.0 - 0.5 / fall) / (1.0 + fall / 2.0);
    for fall in [1.5, 2.0, 2.5] {
        let found = driver(fall * 1e-6).following(1e-6, 1).unwrap();
        assert!(
            (found.in_time - in_time(fall)).abs() < 1e-9,
            "{fall}: {found:?}"
        );
        assert_eq!(
            found.hindrance.is_none(),
            in_time(fall) >= 0.9,
            "{fall}: {found:?}"
        );
    }
}
