//! The recommended practices of IEEE 1789-2015, on lines of the total light.
//!
//! Source: clause 8.1.1, as quoted in a public document; the standard itself was not opened. It names no rule for
//! light of many lines. That each line 1 Hz wide is held against the curve by itself is our reading, and its amplitude
//! over the mean is taken as its modulation. "Below 90 Hz" is read to leave 90 Hz itself on the upper branch.

use super::{Line, Samples, Worst, filtered_modulation::brick_wall, period};

/// Band and resolution.
pub const BAND: &str =
    "1 Hz to 1250 Hz (low risk) or 3000 Hz (no effect), seizure rule below 90 Hz; lines 1 Hz wide";

/// Where the lower branch ends, in Hz.
pub const BRANCH_HZ: f64 = 90.0;

/// Recommended practice 3: modulation below 90 Hz stays below this fraction, always.
pub const SEIZURE_LIMIT: f64 = 0.05;

/// A recommended practice that limits modulation by frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Practice {
    /// Modulation allowed for each Hz below 90 Hz.
    below_branch: f64,
    /// Modulation allowed for each Hz from 90 Hz on.
    from_branch: f64,
    /// The highest frequency that has a limit, in Hz.
    last_hz: f64,
}

/// Recommended practice 1.
pub const LOW_RISK: Practice = Practice {
    below_branch: 0.000_25,
    from_branch: 0.000_8,
    last_hz: 1250.0,
};

/// Recommended practice 2, "no observable effect".
pub const NO_EFFECT: Practice = Practice {
    below_branch: 0.000_1,
    from_branch: 0.000_333,
    last_hz: 3000.0,
};

impl Practice {
    /// The modulation, as a fraction, below which light at this frequency must stay; `None`: not limited.
    #[must_use]
    pub fn limit(&self, frequency_hz: f64) -> Option<f64> {
        let slope = if frequency_hz < BRANCH_HZ {
            self.below_branch
        } else {
            self.from_branch
        };
        (frequency_hz <= self.last_hz).then_some(slope * frequency_hz)
    }

    /// The highest frequency that has a limit, in Hz.
    #[must_use]
    pub fn last_hz(&self) -> f64 {
        self.last_hz
    }

    /// The worst line; the practice is met if there is none or its margin is below 1.
    #[must_use]
    pub fn worst(&self, lines: &[Line]) -> Option<Worst> {
        Worst::among(lines, |frequency| self.limit(frequency))
    }
}

/// Modulation below 90 Hz as a fraction, for the seizure rule: the brick wall, over whole periods where the record has
/// a period, for its ends would else show as a slow swing. What is within half a bin of 90 Hz counts as 90 Hz. `None` if it is dark.
#[must_use]
pub fn modulation_below_90_hz(samples: Samples) -> Option<f64> {
    modulation_below_90_hz_over_periods(samples, period::fundamental(samples))
}

/// The same over whole periods of a fundamental that is known; over the whole record without one.
#[must_use]
pub fn modulation_below_90_hz_over_periods(
    samples: Samples,
    fundamental_hz: Option<f64>,
) -> Option<f64> {
    let whole = fundamental_hz.and_then(|fundamental| period::whole_periods(samples, fundamental));
    let judged = whole.map_or(samples, |(periods, _)| periods);
    // The bin of light at 90 Hz lies beside it where the periods are no whole number of samples.
    let half_bin = 0.5 / judged.seconds();
    brick_wall(judged, |frequency| frequency < BRANCH_HZ - half_bin).map(|percent| percent / 100.0)
}

/// What [`modulation_below_90_hz`] can be at most, whatever the phases: the amplitudes below 90 Hz added up.
#[must_use]
pub fn most_modulation_below_90_hz(lines: &[Line]) -> f64 {
    let below = |line: &&Line| line.frequency_hz < BRANCH_HZ;
    let amplitudes = lines.iter().filter(below).map(|line| line.amplitude);
    // Rust's sum of nothing is -0.
    0.0 + amplitudes.sum::<f64>()
}
