//! The stroboscopic visibility measure.
//!
//! Source: IEC TR 63158:2018 and CIE TN 006:2016 equation 4: the root of exponent 3.7 of the sum over lines of
//! `(amplitude / T(f))^3.7`, with the logistic T that two public implementations of the report use; 1 is what an
//! average observer just sees move. The reports themselves were not opened.
//!
//! **The measure has a cliff.** T tends to 1 and the sum ends at 2000 Hz, so pulses of full depth score 2.0 at 2000 Hz
//! and 0 at 2001 Hz. Near there a small error of a tick rate decides: judge it at the worst of its tolerance.

use super::{Line, Samples, spectrum};

/// Band and resolution.
pub const BAND: &str = "above 0 to 2000 Hz inclusive; lines 1 Hz wide";

/// The highest frequency that counts, in Hz.
pub const LAST_HZ: f64 = 2000.0;

/// Lowest sample rate in Hz that holds the band.
pub const MIN_RATE_HZ: f64 = 2.0 * LAST_HZ;

/// Exponent of the sum.
const EXPONENT: f64 = 3.7;

/// The modulation of a sine that an average observer just sees, T(f).
#[must_use]
pub fn threshold(frequency_hz: f64) -> f64 {
    let logistic = 1.0 / (1.0 + (-0.005_18 * (frequency_hz - 306.6)).exp());
    logistic + 20.0 * (-frequency_hz / 10.0).exp()
}

/// SVM of lines; of no line it is 0. Dense lines go through [`spectrum::sum_within_1_hz`] first.
#[must_use]
pub fn svm(lines: &[Line]) -> f64 {
    let in_band = |line: &&Line| line.frequency_hz > 0.0 && line.frequency_hz <= LAST_HZ;
    let seen = |line: &Line| (line.amplitude / threshold(line.frequency_hz)).powf(EXPONENT);
    let sum: f64 = lines.iter().filter(in_band).map(seen).sum();
    sum.powf(1.0 / EXPONENT)
}

/// SVM of a record; `None` where its lines cannot be told ([`spectrum::lines`]) or its rate is below [`MIN_RATE_HZ`].
///
/// Within 0.5 % or 0.02 of the exact series for steady light, whole periods or not, save for lines within 2 Hz of the
/// cliff.
#[must_use]
pub fn svm_of_samples(samples: Samples) -> Option<f64> {
    let lines = spectrum::lines(samples).filter(|_| samples.rate_hz >= MIN_RATE_HZ)?;
    Some(svm(&lines))
}
