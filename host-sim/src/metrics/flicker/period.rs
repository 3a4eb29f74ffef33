//! The period of a record, and its whole periods.

use super::{Line, Samples, spectrum};

/// Lines below this share of the strongest do not decide on a period.
const MINOR: f64 = 0.01;

/// How far a line may be from a multiple of the fundamental, in bins of the record.
const OFF_BINS: f64 = 0.25;

/// The fundamental of a record in Hz, to about a millihertz; `None` if it has none that shows at least twice, is dark
/// or is shorter than [`spectrum::MIN_SECONDS`].
///
/// It is the largest whole part of the strongest line's frequency of which every line above 1 % of that line is a
/// multiple, within a quarter of a cycle over the record.
#[must_use]
pub fn fundamental(samples: Samples) -> Option<f64> {
    fundamental_of_lines(&spectrum::lines(samples)?, samples.seconds())
}

/// The same of the lines of a record that lasts so many seconds.
#[must_use]
pub fn fundamental_of_lines(lines: &[Line], seconds: f64) -> Option<f64> {
    let strongest = spectrum::dominant(lines)?;
    let is_multiple = |frequency: f64, fundamental: f64| {
        let off = frequency - (frequency / fundamental).round() * fundamental;
        off.abs() * seconds <= OFF_BINS
    };
    let mut major = lines.to_vec();
    major.retain(|line| line.amplitude >= MINOR * strongest.amplitude);
    (1..)
        .map(|part| strongest.frequency_hz / f64::from(part))
        .take_while(|candidate| candidate * seconds >= 2.0)
        .find(|&candidate| {
            major
                .iter()
                .all(|line| is_multiple(line.frequency_hz, candidate))
        })
}

/// The whole periods from the start of a record, to the nearest sample, and how many; `None` if it holds not one.
#[must_use]
pub fn whole_periods(samples: Samples, fundamental_hz: f64) -> Option<(Samples, u32)> {
    // A period that ends with the record is whole.
    let count = (samples.seconds() * fundamental_hz + 1e-6).floor();
    let length = (count / fundamental_hz * samples.rate_hz).round() as usize;
    let values = samples.values.get(..length)?;
    (count >= 1.0).then_some((Samples { values, ..samples }, count as u32))
}
