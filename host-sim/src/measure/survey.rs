//! The record as a whole, before anything is judged: how long, how bright, gaps, clipping, levels.

use std::collections::BTreeSet;

use super::Options;
use crate::capture::{Capture, Piece, Refusal};

/// Gaps beyond this many make no waveform.
const MOST_GAPS: usize = 1000;
/// Distinct values that are counted.
const MOST_LEVELS: usize = 257;
/// Light may be so far below 0, as a fraction of the largest light: a sharp band limit rings by 9 % of an edge.
const BELOW: f64 = 0.1;
/// Or, with a record of the dark, so many times the RMS of its noise.
const SIGMAS: f64 = 6.0;
/// A mean within this part of the swing is about zero.
const ABOUT_ZERO: f64 = 0.01;
/// Where a clip is, is kept to a tenth of a second.
const SLOTS_A_SECOND: f64 = 10.0;

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
    /// Whether the top is flat as clipping makes it, without a full scale being known.
    pub looks_clipped: bool,
    /// Whether the mean is about zero: a coupling took it.
    pub lacks_dc: bool,
}

impl Survey {
    /// Reads a capture through.
    pub(super) fn of(capture: &Capture, options: &Options) -> Result<Self, Refusal> {
        let mut gathered = Gathered::new(capture, options);
        for piece in capture.pieces()? {
            match piece? {
                Piece::Light(values) => values.iter().for_each(|&value| gathered.see(value)),
                Piece::Gap { seconds } => gathered.gap(seconds),
            }
            if gathered.survey.stretches.len() > MOST_GAPS {
                let what = format!("more than {MOST_GAPS} gaps in its times; allowed are fewer");
                return Err(Refusal::of(capture.file(), what));
            }
        }
        let survey = gathered.finished();
        survey.refuse_what_is_no_light(capture, options)?;
        Ok(survey)
    }

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

    fn refuse_what_is_no_light(&self, capture: &Capture, options: &Options) -> Result<(), Refusal> {
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

/// A survey in the making.
struct Gathered {
    survey: Survey,
    dark_level: f64,
    rate_hz: f64,
    full_scale: (f64, f64),
    sum: f64,
    levels: BTreeSet<i64>,
    time_s: f64,
    before: f64,
    /// Equal neighbours at the top, and elsewhere.
    at_top: u64,
    elsewhere: u64,
}

impl Gathered {
    fn new(capture: &Capture, options: &Options) -> Self {
        let (low, high) = capture
            .full_scale()
            .unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
        Self {
            survey: Survey {
                least: f64::INFINITY,
                most: f64::NEG_INFINITY,
                ..Survey::default()
            },
            dark_level: options.dark_level(),
            rate_hz: capture.rate_hz(),
            full_scale: (
                low,
                options.full_scale.map_or(high, |asked| asked.min(high)),
            ),
            sum: 0.0,
            levels: BTreeSet::new(),
            time_s: 0.0,
            before: f64::NAN,
            at_top: 0,
            elsewhere: 0,
        }
    }

    fn see(&mut self, value: f64) {
        if self.survey.stretches.is_empty() {
            self.begin_stretch();
        }
        if value <= self.full_scale.0 || value >= self.full_scale.1 {
            let slot = (self.time_s * SLOTS_A_SECOND).floor() as u64;
            self.survey.clipped.insert(slot);
        }
        if self.levels.len() < MOST_LEVELS {
            self.levels.insert(ordered(value));
        }
        let light = value - self.dark_level;
        self.see_top(light);
        self.survey.least = self.survey.least.min(light);
        self.sum += light;
        self.survey.samples += 1;
        if let Some(stretch) = self.survey.stretches.last_mut() {
            stretch.samples += 1;
            self.time_s = stretch.begin_s + stretch.samples as f64 / self.rate_hz;
        }
    }

    /// Runs at the largest value so far, for a clipping that nobody declared.
    fn see_top(&mut self, light: f64) {
        if light > self.survey.most {
            self.survey.most = light;
            self.elsewhere += self.at_top;
            self.at_top = 0;
        }
        if light == self.before {
            let top = light == self.survey.most;
            *(if top {
                &mut self.at_top
            } else {
                &mut self.elsewhere
            }) += 1;
        }
        self.before = light;
    }

    fn gap(&mut self, seconds: f64) {
        self.time_s += seconds;
        self.begin_stretch();
    }

    fn begin_stretch(&mut self) {
        self.survey.stretches.push(Stretch {
            begin_s: self.time_s,
            samples: 0,
        });
    }

    fn finished(self) -> Survey {
        let survey = self.survey;
        let mean = self.sum / survey.samples as f64;
        let levels: Vec<f64> = self.levels.iter().map(|&level| disordered(level)).collect();
        let step = levels.windows(2).map(|pair| pair[1] - pair[0]);
        // A waveform of few levels is flat by nature.
        let looks_clipped = levels.len() > 16
            && self.at_top >= 4
            && self.elsewhere as f64 <= 0.01 * survey.samples as f64;
        Survey {
            mean,
            levels: levels.len(),
            level_step: if levels.len() < MOST_LEVELS {
                step.fold(f64::INFINITY, f64::min)
            } else {
                0.0
            },
            looks_clipped,
            lacks_dc: survey.least < 0.0 && mean.abs() <= ABOUT_ZERO * (survey.most - survey.least),
            ..survey
        }
    }
}

/// A key with the order of the numbers, and back.
fn ordered(value: f64) -> i64 {
    let bits = value.to_bits() as i64;
    if bits < 0 {
        i64::MIN.wrapping_sub(bits)
    } else {
        bits
    }
}

fn disordered(key: i64) -> f64 {
    let bits = if key < 0 {
        i64::MIN.wrapping_sub(key)
    } else {
        key
    };
    f64::from_bits(bits as u64)
}

#[cfg(test)]
mod tests {
    use super::{disordered, ordered};

    #[test]
    fn keys_have_the_order_of_the_numbers() {
        let rising = [-1e300, -2.0, -1e-300, 0.0, 1e-300, 1.0, 3.5];
        assert!(
            rising
                .windows(2)
                .all(|pair| ordered(pair[0]) < ordered(pair[1]))
        );
        assert!(
            rising
                .iter()
                .all(|&value| disordered(ordered(value)) == value)
        );
    }
}
