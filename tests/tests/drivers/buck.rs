//! The buck converter against its table, and in discontinuous conduction against the formulas of its triangle.

use milliglow_sim::optics::drivers::{Buck, BuckFigures, Corner, Driver, DriverError, Gated};
use milliglow_tests::Agreement;
use milliglow_tests::data::{Row, rows};

fn figures(row: &Row) -> BuckFigures {
    BuckFigures {
        supply_v: row.number("Vin_V"),
        string_v: row.number("Vled_V"),
        string_ohm: 0.0,
        diode_v: row.number("Vdiode_V"),
        inductance_h: row.number("L_H"),
        output_f: 0.0,
        set_a: row.number("Iset_A"),
        off_time_s: row.number("toff_s"),
        delay_s: row.number("comp_delay_s"),
    }
}

/// 24 V to 9.6 V, 47 uH, 2 us, 0.5 A.
fn d1() -> BuckFigures {
    figures(&rows("driver_buck_peak_fixed_off.csv")[0])
}

#[test]
fn steady_figures_are_as_tabulated() {
    let mut seen = Agreement::with("driver_buck_peak_fixed_off.csv");
    for row in rows("driver_buck_peak_fixed_off.csv") {
        let design = Buck::new(figures(&row)).unwrap().design();
        let found = [
            ("Ipk_A", design.peak_a),
            ("ripple_A", design.ripple_a),
            ("ton_s", design.on_time_s),
            ("f_Hz", design.frequency_hz),
            ("Iavg_A", design.mean_a),
            ("duty", design.closed),
            ("rise_time_from_zero_s", design.rise_s),
            ("fall_time_to_zero_s", design.fall_s),
        ];
        for (column, found) in found {
            let expected = row.number(column);
            seen.see(
                &format!("{} {column}", row.text("case")),
                found,
                expected,
                1e-6 * expected,
            );
        }
        assert!(design.continuous);
    }
}

/// `delay x supply / (inductance x mean)`, and nothing without delay.
#[test]
fn the_supply_moves_the_mean_through_the_delay_alone() {
    for row in rows("driver_buck_peak_fixed_off.csv") {
        let buck = Buck::new(figures(&row)).unwrap();
        let expected = row.number("comp_delay_s") * row.number("Vin_V")
            / row.number("L_H")
            / buck.design().mean_a;
        assert!((buck.line_sensitivity() - expected).abs() < 1e-6, "{row:?}");
    }
    // Of the same table: 18 V and 30 V beside 24 V.
    let late = BuckFigures {
        delay_s: 100e-9,
        ..d1()
    };
    let spread = Buck::new(late).unwrap().mean_spread(0.25, 0.0).unwrap();
    assert!((spread.least - 0.313_617_021 / 0.326_382_979).abs() < 1e-8);
    assert!((spread.most - 0.339_148_936 / 0.326_382_979).abs() < 1e-8);
}

/// A triangle up by (supply - string) / L to the peak and down by (string + diode) / L, then nothing.
#[test]
fn runs_out_between_cycles_when_the_off_time_is_long() {
    let figures = BuckFigures {
        off_time_s: 6e-6,
        diode_v: 0.4,
        delay_s: 100e-9,
        ..d1()
    };
    let design = Buck::new(figures).unwrap().design();
    let peak = 0.5 + 14.4 * 100e-9 / 47e-6;
    let (up, down) = (47e-6 * peak / 14.4, 47e-6 * peak / 10.0);
    assert!(!design.continuous && down < 6e-6);
    assert!((design.peak_a / peak - 1.0).abs() < 1e-12);
    assert!((design.ripple_a / peak - 1.0).abs() < 1e-12);
    assert!((design.mean_a / (peak / 2.0 * (up + down) / (up + 6e-6)) - 1.0).abs() < 1e-12);
}

#[test]
fn off_times_meet_what_is_wanted() {
    for ohm in [0.0, 2.0] {
        let figures = BuckFigures {
            string_ohm: ohm,
            delay_s: 80e-9,
            diode_v: 0.4,
            ..d1()
        };
        let buck = Buck::new(figures).unwrap();
        let with = |off_time_s| {
            Buck::new(BuckFigures {
                off_time_s,
                ..figures
            })
            .unwrap()
            .design()
        };
        for ripple_a in [0.05, 0.2, 0.4] {
            let found = with(buck.off_time_for_ripple(ripple_a).unwrap()).ripple_a;
            assert!((found / ripple_a - 1.0).abs() < 1e-9, "{found}");
        }
        for hz in [250e3, 600e3, 1e6] {
            let found = with(buck.off_time_for_frequency(hz).unwrap()).frequency_hz;
            assert!((found / hz - 1.0).abs() < 1e-9, "{found}");
        }
        assert_eq!(buck.off_time_for_ripple(0.6), None);
        assert_eq!(buck.off_time_for_frequency(50e3), None);
        assert_eq!(buck.off_time_for_frequency(f64::NAN), None);
    }
}

/// Ticks of an unbroken 1 mean 1; a pulse from nothing has the area of its triangle.
#[test]
fn ticks_carry_the_charge_of_the_current() {
    let buck = Buck::new(BuckFigures {
        diode_v: 0.4,
        ..d1()
    })
    .unwrap();
    let mut gated = Gated::new(&Driver::Buck(buck), 1e-6, 1).unwrap();
    let full = buck.design().mean_a;
    let pulse: f64 = (0..10).map(|tick| gated.tick(tick == 0)).sum();
    let peak = 14.4 * 1e-6 / 47e-6;
    let area = peak / 2.0 * (1e-6 + 47e-6 * peak / 10.0);
    assert!((pulse * full * 1e-6 / area - 1.0).abs() < 1e-9, "{pulse}");
    let steady: f64 = (0..100_000).map(|_| gated.tick(true)).sum();
    assert!((steady / 100_000.0 - 1.0).abs() < 1e-4, "{steady}");
}

/// What the supply gives is what the string, the diode and the stores take: power over a steady second.
#[test]
fn draws_what_it_gives() {
    for output_f in [0.0, 1e-6] {
        let figures = BuckFigures {
            string_ohm: 2.0,
            output_f,
            ..d1()
        };
        let buck = Buck::new(figures).unwrap();
        let mut gated = Gated::new(&Driver::Buck(buck), 1e-6, 1).unwrap();
        let mut corners: Vec<Corner> = Vec::new();
        let (mut drawn, mut power) = (0.0, 0.0);
        let full = buck.design().mean_a;
        for tick in 0..12_000 {
            corners.clear();
            gated.trace(true, &mut corners);
            if tick < 2_000 {
                continue;
            }
            drawn += gated.drawn() * full * 24.0;
            for pair in corners.windows(2) {
                let amperes = (pair[0].current + pair[1].current) / 2.0 * full;
                power +=
                    (pair[1].after_s - pair[0].after_s) / 1e-6 * amperes * (8.6 + 2.0 * amperes);
            }
        }
        assert!((drawn / power - 1.0).abs() < 0.005, "{}", drawn / power);
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let refused = |figures| Buck::new(figures).unwrap_err();
    let named = |figures| match refused(figures) {
        DriverError::Figure { name, .. } => name,
        other => panic!("{other}"),
    };
    assert!(matches!(
        refused(BuckFigures {
            string_v: 24.0,
            ..d1()
        }),
        DriverError::StringAboveSupply { .. }
    ));
    assert!(matches!(
        refused(BuckFigures {
            delay_s: 2.1e-6,
            ..d1()
        }),
        DriverError::OffTimeBelowDelay { .. }
    ));
    let runaway = BuckFigures {
        string_v: 3.0,
        off_time_s: 1e-6,
        delay_s: 0.5e-6,
        ..d1()
    };
    assert!(matches!(
        refused(runaway),
        DriverError::LosesSetPoint { .. }
    ));
    assert_eq!(
        refused(BuckFigures {
            output_f: 1e-6,
            ..d1()
        }),
        DriverError::CapacitorWithoutResistance
    );
    assert_eq!(
        named(BuckFigures {
            supply_v: f64::NAN,
            ..d1()
        }),
        "supply"
    );
    assert_eq!(
        named(BuckFigures {
            string_ohm: 20.0,
            ..d1()
        }),
        "string resistance"
    );
    assert_eq!(
        named(BuckFigures {
            inductance_h: 0.0,
            ..d1()
        }),
        "inductance"
    );
    assert_eq!(
        named(BuckFigures {
            set_a: f64::INFINITY,
            ..d1()
        }),
        "peak set point"
    );
    assert_eq!(
        named(BuckFigures {
            off_time_s: 0.0,
            ..d1()
        }),
        "off-time"
    );
    assert_eq!(
        named(BuckFigures {
            diode_v: -0.1,
            ..d1()
        }),
        "diode drop"
    );
}
