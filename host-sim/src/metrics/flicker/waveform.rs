//! What the metrics take: light as the lines of its spectrum, or as samples.

/// One line of the spectrum of light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Frequency in Hz, above 0.
    pub frequency_hz: f64,
    /// Trigonometric Fourier amplitude over the mean light: a sine of modulation m has amplitude m, and the lines of
    /// short pulses tend to 2.
    pub amplitude: f64,
}

/// Light sampled at even intervals, in any linear unit, its dark level removed.
///
/// What lies above half the rate must have been filtered out before: it cannot be told from slower light any more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Samples<'a> {
    /// Samples a second.
    pub rate_hz: f64,
    /// The light.
    pub values: &'a [f64],
}

impl Samples<'_> {
    /// Duration in s.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.values.len() as f64 / self.rate_hz
    }

    /// Mean light, or `None` where it is not a number above 0: no metric is defined on darkness.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        lit(self.values.iter().sum::<f64>() / self.values.len() as f64)
    }
}

/// A mean that light can be divided by.
pub(super) fn lit(mean: f64) -> Option<f64> {
    (mean > 0.0 && mean.is_finite()).then_some(mean)
}
