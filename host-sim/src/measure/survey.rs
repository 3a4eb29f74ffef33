//! The record as a whole, before anything is judged: how long, how bright, gaps, clipping, levels.

use std::collections::BTreeSet;

use super::Options;
use crate::capture::{Capture, Refusal};

/// Light may be so far below 0, as a fraction of the largest light: a sharp band limit rings by 9 % of an edge.
const BELOW: f64 = 0.1;
/// Or, with a record of the dark, so many times the RMS of its noise.
const SIGMAS: f64 = 6.0;
/// Where a clip is, is kept to a tenth of a second.
pub(super) const SLOTS_A_SECOND: f64 = 10.0;

/// A stretch without a gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// When it begins, in s.
    pub begin_s: f64,
    /// Its samples.
    pub samples: u64,
}

/// The record as a whole; light with the dark level removed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// What lies between gaps.
    pub stretches: Vec<Stretch>,
    /// Samples in all.
    pub samples: u64,
    /// Mean light.
    pub mean: f64,
    /// Least light.
    pub least: f64,
    /// Largest light.
    pub most: f64,
    /// Distinct values, at most 257 of them counted.
    pub levels: usize,
    /// Smallest distance of two distinct values, where there are at most 256.
    pub level_step: f64,
    /// Tenths of seconds in which a sample was clipped.
    pub clipped: BTreeSet<u64>,
    /// Whether `clipped` was found by flat tops alone: pieces of three or more equal samples at the largest value, two or
    /// more of them, while fewer samples, and under 1 % of all, have an equal neighbour elsewhere.
    pub looks_clipped: bool,
    /// Whether the mean is about zero: a coupling took it.
    pub lacks_dc: bool,
}

impl Survey {
    /// Duration without gaps, in s.
    #[must_use]
    pub fn seconds(&self, rate_hz: f64) -> f64 {
        self.samples as f64 / rate_hz
    }

    /// Percent flicker of the record as it is, `100 (max - min) / (max + min)`; `None` without light.
    #[must_use]
    pub fn raw_modulation_percent(&self) -> Option<f64> {
        let sum = self.most + self.least;
        (sum > 0.0).then_some(100.0 * (self.most - self.least) / sum)
    }

    /// When something was clipped between two times in s, if it was.
    #[must_use]
    pub fn clipped_within(&self, begin_s: f64, end_s: f64) -> Option<f64> {
        let slot = |time: f64| (time * SLOTS_A_SECOND).floor().max(0.0) as u64;
        let first = self.clipped.range(slot(begin_s)..=slot(end_s)).next()?;
        Some(*first as f64 / SLOTS_A_SECOND)
    }

    pub(super) fn refuse_what_is_no_light(
        &self,
        capture: &Capture,
        options: &Options,
    ) -> Result<(), Refusal> {
        let refuse = |what: String| Err(Refusal::of(capture.file(), what));
        if self.samples < 2 {
            return refuse(format!("{} samples; allowed are two or more", self.samples));
        }
        if !(self.most - self.least).is_finite() || !self.mean.is_finite() {
            return refuse("values too large to add up; allowed are up to 1e300".to_owned());
        }
        let noise = (SIGMAS * options.noise_rms()).max(BELOW * self.most.abs());
        if self.least < -noise && !self.lacks_dc && !capture.is_computed() {
            return refuse(format!(
                "negative light: {} after removing a dark level of {}; allowed is down to {}, for noise and ringing: \
                 is --dark or --offset right?",
                self.least,
                options.dark_level(),
                -noise
            ));
        }
        Ok(())
    }
}
