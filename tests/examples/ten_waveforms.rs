//! Writes ten waveforms and what the metrics make of them to standard output as JSON, for tests/peers/flicker_scipy.py.

use milliglow_sim::metrics::flicker::{Samples, pst_lm::PstLm, spectrum, svm::svm};
use milliglow_tests::{Series, flickermeter_light};
use serde_json::{Value, json};

const RATE_HZ: f64 = 5000.0;

/// Light for PstLM; settling takes 20 s of it.
const COUNT: usize = 250_000;

/// Samples from the start for lines and SVM: 3 s, and for none of the waveforms whole periods.
const COUNT_FOR_LINES: usize = 14_987;

/// The series end below half the rate, so that nothing folds.
const UP_TO_HZ: f64 = 2400.0;

fn waveforms() -> [(&'static str, Vec<f64>); 10] {
    let sampled = |series: Series| series.sampled(RATE_HZ, COUNT);
    let tones = |tones: &[(f64, f64)]| sampled(Series::tones(tones));
    let pulses = |hz, duty| sampled(Series::rectangle(hz, duty, 0.0, 1.0, UP_TO_HZ));
    let meter = |hz, depth| flickermeter_light(hz, depth, RATE_HZ, COUNT);
    [
        ("sine", tones(&[(100.0, 0.3)])),
        ("pulses, quarter duty", pulses(120.0, 0.25)),
        ("pulses, tenth duty", pulses(333.3, 0.1)),
        ("pulses, twentieth duty", pulses(1021.0, 0.05)),
        (
            "rectified sine",
            sampled(Series::rectified(100.0, UP_TO_HZ)),
        ),
        ("triangle", sampled(Series::triangle(100.7, UP_TO_HZ))),
        ("sawtooth", sampled(Series::sawtooth(87.3, UP_TO_HZ))),
        (
            "tones",
            tones(&[(3.1, 0.01), (13.7, 0.004), (50.0, 0.02), (410.0, 0.2)]),
        ),
        ("flickermeter, slow", meter(110.0 / 120.0, 0.020_473)),
        ("flickermeter, fast", meter(1620.0 / 120.0, 0.007_78)),
    ]
}

fn measured(values: &[f64]) -> Value {
    let lines = spectrum::lines(Samples {
        rate_hz: RATE_HZ,
        values: &values[..COUNT_FOR_LINES],
    })
    .expect("lit light of 3 s");
    let dominant = spectrum::dominant(&lines).expect("a line");
    let mut meter = PstLm::new(RATE_HZ).expect("a rate for the meter");
    meter.feed(values);
    json!({
        "dominant_frequency_hz": dominant.frequency_hz,
        "dominant_amplitude": dominant.amplitude,
        "svm": svm(&lines),
        "pst_lm": meter.severity().expect("enough light").pst_lm,
    })
}

fn main() {
    let waveforms: Vec<Value> = waveforms()
        .into_iter()
        .map(|(name, values)| json!({"name": name, "found": measured(&values), "values": values}))
        .collect();
    let document = json!({
        "rate_hz": RATE_HZ,
        "count_for_lines": COUNT_FOR_LINES,
        "waveforms": waveforms,
    });
    println!("{document}");
}
