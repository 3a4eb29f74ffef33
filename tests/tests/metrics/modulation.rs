use crate::shapes::{at_middles, over_phase, rectangle};
use milliglow_sim::metrics::flicker::{Samples, modulation::modulation, period::fundamental};
use milliglow_tests::data::rows;
use milliglow_tests::{Agreement, Series};

/// 20 000 instants a period, of which every edge in the table falls between two.
const CELLS: usize = 20_000;

#[test]
fn modulation_and_flicker_index_have_their_closed_forms() {
    let mut percent = Agreement::with("flicker_index_modulation.csv percent");
    let mut index = Agreement::with("flicker_index_modulation.csv flicker index");
    for row in rows("flicker_index_modulation.csv") {
        // A part of a period follows two whole ones.
        let values = at_middles(over_phase(&row), CELLS, 2 * CELLS + CELLS / 3);
        let samples = Samples {
            rate_hz: CELLS as f64,
            values: &values,
        };
        let found = modulation(samples, Some(1.0)).unwrap();
        let expected = row.number("modulation_percent");
        let what = [row.text("waveform"), row.text("parameters")].join(" ");
        percent.see(&what, found.percent, expected, 1e-3 * expected);
        let expected = row.number("flicker_index");
        // The table prints six digits after the point.
        index.see(&what, found.flicker_index, expected, 1e-3 * expected + 5e-7);
        assert_eq!(found.periods, Some(2));
    }
}

#[test]
fn the_period_is_found_and_only_whole_ones_count() {
    let light = Series::tones(&[(60.0, 0.2), (80.0, 0.4)]);
    let values = light.sampled(20_000.0, 21_777);
    let samples = Samples {
        rate_hz: 20_000.0,
        values: &values,
    };
    let found = fundamental(samples).unwrap();
    assert!((found - 20.0).abs() < 1e-3, "{found}");
    let judged = modulation(samples, None).unwrap();
    assert_eq!(judged.periods, Some(21));
    let given = modulation(samples, Some(20.0)).unwrap();
    assert!((judged.flicker_index - given.flicker_index).abs() < 1e-6);
}

#[test]
fn a_record_with_no_period_is_judged_whole() {
    let tones = [1.0, 2.0, 3.0, 5.0, 7.0].map(|square: f64| (100.0 * square.sqrt(), 0.1));
    let values = Series::tones(&tones).sampled(20_000.0, 21_000);
    let samples = Samples {
        rate_hz: 20_000.0,
        values: &values,
    };
    let found = modulation(samples, None).unwrap();
    assert_eq!(found.periods, None);
    let mean = samples.mean().unwrap();
    let off: f64 = values.iter().map(|value| (value - mean).abs()).sum();
    let expected = 0.5 * off / (mean * values.len() as f64);
    assert!((found.flicker_index - expected).abs() < 1e-9, "{found:?}");
}

#[test]
fn darkness_has_no_modulation() {
    let values = at_middles(rectangle(0.5, 0.0, 0.0), 100, 30_000);
    let samples = Samples {
        rate_hz: 20_000.0,
        values: &values,
    };
    assert_eq!(modulation(samples, None), None);
}
