use milliglow_sim::metrics::flicker::{
    Line, Samples,
    ieee1789::{
        LOW_RISK, NO_EFFECT, SEIZURE_LIMIT, modulation_below_90_hz, most_modulation_below_90_hz,
    },
};
use milliglow_tests::data::{Row, rows};
use milliglow_tests::{Agreement, Series};

fn see_limit(agreement: &mut Agreement, row: &Row, column: &str, found: Option<f64>) {
    let what = format!("{column} at {} Hz", row.text("frequency_hz"));
    match found {
        Some(limit) => agreement.see(&what, 100.0 * limit, row.number(column), tolerance(row)),
        None => assert_eq!(row.text(column), "", "{what}"),
    }
}

/// The rows print five or six digits, so "exactly" is half of the last one.
fn tolerance(row: &Row) -> f64 {
    if row.text("frequency_hz") == "89.999" {
        2.6e-5
    } else {
        5e-5
    }
}

#[test]
fn limits_are_those_of_the_standard() {
    let mut agreement = Agreement::with("flicker_ieee1789_limits.csv");
    for row in rows("flicker_ieee1789_limits.csv") {
        let hz = row.number("frequency_hz");
        see_limit(
            &mut agreement,
            &row,
            "low_risk_max_mod_percent",
            LOW_RISK.limit(hz),
        );
        see_limit(
            &mut agreement,
            &row,
            "noel_max_mod_percent",
            NO_EFFECT.limit(hz),
        );
        let seizure = (hz < 90.0).then_some(SEIZURE_LIMIT);
        see_limit(&mut agreement, &row, "rp3_max_mod_percent", seizure);
    }
}

#[test]
fn the_worst_line_is_the_one_nearest_to_or_farthest_over_its_limit() {
    let lines = [(80.0, 0.01), (100.0, 0.06), (1000.0, 0.5), (3100.0, 2.0)].map(
        |(frequency_hz, amplitude)| Line {
            frequency_hz,
            amplitude,
        },
    );
    let low_risk = LOW_RISK.worst(&lines).unwrap();
    assert_eq!(low_risk.line, lines[1]);
    assert!((low_risk.margin() - 0.75).abs() < 1e-12);
    let no_effect = NO_EFFECT.worst(&lines).unwrap();
    assert_eq!(no_effect.line, lines[1]);
    assert!((no_effect.margin() - 0.06 / 0.0333).abs() < 1e-9);
    assert_eq!(NO_EFFECT.worst(&lines[3..]), None);
}

#[test]
fn the_seizure_rule_sees_what_is_below_90_hz_and_not_the_ends_of_the_record() {
    for (tones, expected) in [
        (vec![(100.0, 1.0)], 0.0),
        (vec![(90.0, 0.3)], 0.0),
        (vec![(50.0, 0.04), (100.0, 0.9)], 0.04),
        (vec![(10.0, 0.05), (20.0, 0.03), (300.0, 0.5)], 0.0694),
    ] {
        let series = Series::tones(&tones);
        let values = series.sampled(20_000.0, 20_760);
        let samples = Samples {
            rate_hz: 20_000.0,
            values: &values,
        };
        let found = modulation_below_90_hz(samples).unwrap();
        // Cut to the nearest sample, 90 Hz leave a swing of less than a hundredth of themselves.
        assert!((found - expected).abs() < 3e-3, "{tones:?}: {found}");
        let most = most_modulation_below_90_hz(&series.lines());
        assert!(found <= most + 3e-3, "{tones:?}: {found} > {most}");
    }
}
