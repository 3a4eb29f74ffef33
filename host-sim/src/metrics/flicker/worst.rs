//! The line of a spectrum that is worst against a limit that depends on frequency.

use super::Line;

/// A line and the limit at its frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// The line.
    pub line: Line,
    /// The amplitude that the limit allows there.
    pub limit: f64,
}

impl Worst {
    /// Amplitude over limit: 1 is at the limit, less is better.
    #[must_use]
    pub fn margin(&self) -> f64 {
        self.line.amplitude / self.limit
    }

    /// Of the lines that have a limit, the one with the largest margin.
    pub(super) fn among(lines: &[Line], limit: impl Fn(f64) -> Option<f64>) -> Option<Self> {
        lines
            .iter()
            .filter_map(|&line| limit(line.frequency_hz).map(|limit| Self { line, limit }))
            .max_by(|one, other| one.margin().total_cmp(&other.margin()))
    }
}
