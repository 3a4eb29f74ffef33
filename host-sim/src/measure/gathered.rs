//! A survey, sample by sample.

use std::collections::BTreeSet;

use super::Options;
use super::flat_top::FlatTop;
use super::survey::{SLOTS_A_SECOND, Stretch, Survey};
use crate::capture::{Capture, Refusal};

/// Gaps beyond this many make no waveform.
const MOST_GAPS: usize = 1000;
/// Longest record: about 400 bytes are kept of each segment of 1.5 s.
const MOST_HOURS: f64 = 48.0;
/// Distinct values that are counted.
const MOST_LEVELS: usize = 257;
/// So many levels, or fewer, tell nothing of clipping.
const FEW_LEVELS: usize = 16;
/// A mean within this part of the swing is about zero.
const ABOUT_ZERO: f64 = 0.01;

/// A survey in the making.
pub(super) struct Gathered {
    pub(super) survey: Survey,
    dark_level: f64,
    rate_hz: f64,
    full_scale: (f64, f64),
    sum: f64,
    levels: BTreeSet<i64>,
    time_s: f64,
    /// `None` if the full scale was declared.
    top: Option<FlatTop>,
}

impl Gathered {
    pub(super) fn new(capture: &Capture, options: &Options) -> Self {
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
            top: options.full_scale.is_none().then(FlatTop::default),
        }
    }

    pub(super) fn see(&mut self, value: f64) {
        if self.survey.stretches.is_empty() {
            self.begin_stretch();
        }
        let slot = (self.time_s * SLOTS_A_SECOND) as u64;
        if value <= self.full_scale.0 || value >= self.full_scale.1 {
            self.survey.clipped.insert(slot);
        }
        if let Some(top) = &mut self.top {
            top.see(value, slot);
        }
        if self.levels.len() < MOST_LEVELS {
            self.levels.insert(ordered(value));
        }
        let light = value - self.dark_level;
        self.survey.most = self.survey.most.max(light);
        self.survey.least = self.survey.least.min(light);
        self.sum += light;
        self.survey.samples += 1;
        if let Some(stretch) = self.survey.stretches.last_mut() {
            stretch.samples += 1;
            self.time_s = stretch.begin_s + stretch.samples as f64 / self.rate_hz;
        }
    }

    /// Gives when the next stretch begins, in s.
    pub(super) fn gap(&mut self, seconds: f64) -> f64 {
        self.time_s += seconds;
        self.begin_stretch();
        self.time_s
    }

    /// What would make memory grow without end.
    pub(super) fn refuse_what_is_too_much(&self, capture: &Capture) -> Result<(), Refusal> {
        if self.survey.stretches.len() > MOST_GAPS {
            let what = format!("more than {MOST_GAPS} gaps in its times; allowed are fewer");
            return Err(Refusal::of(capture.file(), what));
        }
        if self.time_s > MOST_HOURS * 3600.0 {
            let what = format!("longer than {MOST_HOURS} h; allowed are shorter records: cut it");
            return Err(Refusal::of(capture.file(), what));
        }
        Ok(())
    }

    fn begin_stretch(&mut self) {
        self.survey.stretches.push(Stretch {
            begin_s: self.time_s,
            samples: 0,
        });
    }

    /// # Errors
    /// What is no light.
    pub(super) fn finished(self, capture: &Capture, options: &Options) -> Result<Survey, Refusal> {
        let survey = self.survey();
        survey.refuse_what_is_no_light(capture, options)?;
        Ok(survey)
    }

    fn survey(self) -> Survey {
        let survey = self.survey;
        let mean = self.sum / survey.samples as f64;
        let levels: Vec<f64> = self.levels.iter().map(|&level| disordered(level)).collect();
        let step = levels.windows(2).map(|pair| pair[1] - pair[0]);
        // A waveform of few levels is flat by nature.
        let top = self.top.filter(|_| levels.len() > FEW_LEVELS);
        let flat = top.map(FlatTop::clipped).unwrap_or_default();
        let looks_clipped = survey.clipped.is_empty() && !flat.is_empty();
        let mut clipped = survey.clipped;
        clipped.extend(flat);
        Survey {
            mean,
            levels: levels.len(),
            level_step: if levels.len() < MOST_LEVELS {
                step.fold(f64::INFINITY, f64::min)
            } else {
                0.0
            },
            clipped,
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
