//! The waveforms that tables name.

use milliglow_tests::Series;
use milliglow_tests::data::Row;
use std::f64::consts::PI;

/// The value of `key=value` in a table's parameters, which `;` separates.
pub(crate) fn parameter(row: &Row, key: &str) -> f64 {
    let parameters = row.text("parameters");
    let value = parameters
        .split(';')
        .find_map(|part| part.strip_prefix(key)?.strip_prefix('='))
        .unwrap_or_else(|| panic!("no {key} in {parameters}"));
    value.parse().expect("a number")
}

/// The waveform of a row of the SVM table as a series of what lies up to `up_to_hz`.
pub(crate) fn series(row: &Row, up_to_hz: f64) -> Series {
    let hz = row.number("fundamental_hz");
    match row.text("waveform") {
        "sine" => Series::tones(&[(hz, parameter(row, "m"))]),
        "square 0/1" | "PWM 0/1" => {
            Series::rectangle(hz, parameter(row, "duty"), 0.0, 1.0, up_to_hz)
        }
        "square 50% duty lo=1-d hi=1" => {
            Series::rectangle(hz, 0.5, 1.0 - parameter(row, "d"), 1.0, up_to_hz)
        }
        "full-wave rectified sine" => Series::rectified(hz, up_to_hz),
        "triangle 0..1" => Series::triangle(hz, up_to_hz),
        "sawtooth 0..1" => Series::sawtooth(hz, up_to_hz),
        "two tones 1+0.3sin+0.3sin" => {
            Series::tones(&[(parameter(row, "f1"), 0.3), (parameter(row, "f2"), 0.3)])
        }
        other => panic!("unknown waveform {other}"),
    }
}

/// Light over phase, from 0 to 1, of a row of the modulation table.
pub(crate) fn over_phase(row: &Row) -> Box<dyn Fn(f64) -> f64> {
    let parameter = |key| parameter(row, key);
    match row.text("waveform") {
        "sine 1+m*sin" => {
            let m = parameter("m");
            Box::new(move |phase| 1.0 + m * (2.0 * PI * phase).sin())
        }
        "square 50% duty 1+-m" => rectangle(0.5, 1.0 - parameter("m"), 1.0 + parameter("m")),
        "symmetric triangle 1+-m" => {
            let m = parameter("m");
            Box::new(move |phase| 1.0 + m * (1.0 - 4.0 * (phase - 0.5).abs()))
        }
        "PWM 0/1" => rectangle(parameter("duty"), 0.0, 1.0),
        "rectangular hi=1 lo=L" => rectangle(parameter("duty"), parameter("L"), 1.0),
        "full-wave rectified sine |sin|" => Box::new(|phase| (PI * phase).sin()),
        "sin^2 (=sine at twice the frequency)" => Box::new(|phase| (PI * phase).sin().powi(2)),
        other => panic!("unknown waveform {other}"),
    }
}

/// `high` for the first `duty` of a period, else `low`.
pub(crate) fn rectangle(duty: f64, low: f64, high: f64) -> Box<dyn Fn(f64) -> f64> {
    Box::new(move |phase| if phase < duty { high } else { low })
}

/// Values of such light at the middles of `cells` parts of a period, over so many parts.
pub(crate) fn at_middles(shape: impl Fn(f64) -> f64, cells: usize, count: usize) -> Vec<f64> {
    let phase = |index: usize| ((index % cells) as f64 + 0.5) / cells as f64;
    (0..count).map(|index| shape(phase(index))).collect()
}
