use crate::shapes::series;
use milliglow_sim::metrics::flicker::{
    Line, Samples,
    svm::{LAST_HZ, svm, svm_of_samples, threshold},
};
use milliglow_tests::data::{Row, rows};
use milliglow_tests::{Agreement, Series};

fn name(row: &Row) -> String {
    ["waveform", "parameters", "fundamental_hz"]
        .map(|column| row.text(column))
        .join(" ")
}

#[test]
fn exact_series_give_the_tabulated_svm() {
    let mut agreement = Agreement::with("svm_waveforms.csv, exact series");
    for row in rows("svm_waveforms.csv") {
        let expected = row.number("svm_T_A_logistic");
        let found = svm(&series(&row, 12_000.0).lines());
        // The table prints four digits after the point.
        agreement.see(&name(&row), found, expected, 0.005 * expected + 5e-5);
    }
}

#[test]
fn samples_give_the_svm_of_the_series() {
    let lengths = [20_074, 34_626, 58_142];
    let mut agreement = Agreement::with("svm_waveforms.csv, samples");
    for row in rows("svm_waveforms.csv") {
        // Sampled from the series, whose terms end below half the rate.
        let light = series(&row, 9_500.0);
        let at_cliff = |line: &Line| (line.frequency_hz - LAST_HZ).abs() <= 2.0;
        if light.lines().iter().any(at_cliff) {
            continue;
        }
        for length in lengths {
            let values = light.sampled(20_000.0, length);
            let samples = Samples {
                rate_hz: 20_000.0,
                values: &values,
            };
            let expected = row.number("svm_T_A_logistic");
            let what = format!("{} over {length} samples", name(&row));
            let tolerance = (0.005 * expected).max(0.02);
            agreement.see(&what, svm_of_samples(samples).unwrap(), expected, tolerance);
        }
    }
}

#[test]
fn sines_at_the_limit_reach_it() {
    let mut agreement = Agreement::with("svm_sine_at_limit.csv");
    for row in rows("svm_sine_at_limit.csv") {
        let line = Line {
            frequency_hz: row.number("frequency_hz"),
            amplitude: row.number("sine_modulation_m_at_limit"),
        };
        let limit = row.number("svm_limit");
        let what = format!("{} Hz", line.frequency_hz);
        agreement.see(&what, svm(&[line]), limit, 1e-3 * limit);
    }
}

#[test]
fn thresholds_are_those_tabulated() {
    let mut agreement = Agreement::with("svm_threshold.csv");
    for row in rows("svm_threshold.csv") {
        let hz = row.number("frequency_hz");
        let expected = row.number("T_A_logistic");
        agreement.see(
            &format!("{hz} Hz"),
            threshold(hz),
            expected,
            1e-4 * expected,
        );
    }
}

#[test]
fn what_lies_above_the_cliff_does_not_leak_below() {
    let values = Series::tones(&[(3001.3, 2.0)]).sampled(20_000.0, 21_111);
    let samples = Samples {
        rate_hz: 20_000.0,
        values: &values,
    };
    assert!(svm_of_samples(samples).unwrap() < 1e-4);
    let slow = Samples {
        rate_hz: 3999.0,
        values: &values,
    };
    assert_eq!(svm_of_samples(slow), None);
}
