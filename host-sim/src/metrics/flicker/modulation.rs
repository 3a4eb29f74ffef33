//! Percent flicker and flicker index.
//!
//! Both look at the light as given. For the light of a check that is light limited to 20 kHz, with the raw light
//! beside it: the limit is the caller's to apply.

use super::{Samples, period};

/// Band and resolution.
pub const BAND: &str = "0 Hz to half the sample rate; whole periods to the nearest sample";

/// How far light swings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Modulation {
    /// Percent flicker of the whole record, `100 (max - min) / (max + min)`: 0 to 100.
    ///
    /// Source: IEEE 1789-2015 clause 8.1.1; California Title 24 JA10.6.
    pub percent: f64,
    /// Area above the mean over the whole area, over whole periods: 0 to 1.
    ///
    /// Source: IEC 60050-845-22-094; IES LS-1 5.9.9.4.
    pub flicker_index: f64,
    /// The periods that the flicker index is of; `None`: none was given or found, and it is of the whole record.
    pub periods: Option<u32>,
}

/// Modulation of a record; its period is looked for ([`period::fundamental`]) unless its frequency is given.
/// `None` if it is dark.
#[must_use]
pub fn modulation(samples: Samples, fundamental_hz: Option<f64>) -> Option<Modulation> {
    let whole = fundamental_hz
        .or_else(|| period::fundamental(samples))
        .and_then(|fundamental| period::whole_periods(samples, fundamental));
    let judged = whole.map_or(samples, |(periods, _)| periods);
    Some(Modulation {
        percent: percent(samples.values),
        flicker_index: flicker_index(judged.values, judged.mean()?),
        periods: whole.map(|(_, count)| count),
    })
}

/// Percent flicker of values whose extremes add up to more than 0; infinite otherwise.
pub(super) fn percent(values: &[f64]) -> f64 {
    let (min, max) = extremes(values);
    if max + min > 0.0 {
        100.0 * (max - min) / (max + min)
    } else {
        f64::INFINITY
    }
}

/// Least and largest value; eight side by side, so that the processor need not wait for each comparison.
fn extremes(values: &[f64]) -> (f64, f64) {
    let (mut min, mut max) = ([f64::INFINITY; 8], [f64::NEG_INFINITY; 8]);
    for values in values.chunks(8) {
        for ((min, max), &value) in min.iter_mut().zip(&mut max).zip(values) {
            *min = if value < *min { value } else { *min };
            *max = if value > *max { value } else { *max };
        }
    }
    let least = min.into_iter().fold(f64::INFINITY, f64::min);
    (least, max.into_iter().fold(f64::NEG_INFINITY, f64::max))
}

fn flicker_index(values: &[f64], mean: f64) -> f64 {
    let above: f64 = values.iter().map(|value| (value - mean).max(0.0)).sum();
    above / (mean * values.len() as f64)
}
