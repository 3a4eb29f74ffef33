//! How even time stamps are.

use std::path::Path;

use super::rows::Rows;
use crate::capture::{RATES_HZ, Refusal};

/// Intervals that the median is taken of.
const SAMPLED: usize = 65_536;
/// An interval of more than so many medians is a gap.
const GAP: f64 = 2.5;

/// The sum of so many intervals is off by less than this part of it.
const ROUNDING: f64 = 1e-8;

/// What the time stamps of a file say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// One over the mean interval, gaps left out.
    pub rate_hz: f64,
    /// The longest interval that is no gap, in s.
    pub longest_s: f64,
    /// The shortest interval, in s.
    pub shortest_s: f64,
    /// An interval of more than this is a gap, in s.
    pub gap_over_s: f64,
}

impl Timing {
    /// How far an interval is off the mean one at most, as a fraction of it.
    #[must_use]
    pub fn unevenness(&self) -> f64 {
        let off = |interval: f64| (interval * self.rate_hz - 1.0).abs();
        off(self.longest_s).max(off(self.shortest_s))
    }

    /// What straight lines between the stamps take from a line at a frequency at most, as a fraction of its amplitude.
    ///
    /// A sine between two samples `h` apart is low by `1 - cos(pi f h)` half-way.
    #[must_use]
    pub fn most_loss(&self, frequency_hz: f64) -> f64 {
        1.0 - (std::f64::consts::PI * (frequency_hz * self.longest_s).min(0.5)).cos()
    }

    /// From all rows of a file.
    pub(super) fn of(file: &Path, rows: Rows) -> Result<Self, Refusal> {
        let mut intervals = Intervals::default();
        let mut before = None;
        for row in rows {
            let time_s = row?.time_s;
            if let Some(before) = before.replace(time_s) {
                intervals.see(time_s - before);
            }
        }
        let timing = intervals.timing();
        let timing = timing
            .ok_or_else(|| Refusal::of(file, "holds one row or none; allowed are two or more"))?;
        if RATES_HZ.contains(&timing.rate_hz) {
            return Ok(timing);
        }
        let what = format!(
            "{:e} samples a second by its times; allowed are 1 Hz to 1 GHz: is the unit of time right?",
            timing.rate_hz
        );
        Err(Refusal::of(file, what))
    }
}

/// A rate that summing times put a rounding beside a whole number of hertz is that number.
fn near_whole(rate_hz: f64) -> f64 {
    let whole = rate_hz.round();
    if (rate_hz - whole).abs() <= ROUNDING * whole {
        whole
    } else {
        rate_hz
    }
}

/// Gathers intervals: the first ones are kept until their median is known.
#[derive(Default)]
struct Intervals {
    first: Vec<f64>,
    gap_over_s: Option<f64>,
    sum: f64,
    count: u64,
    longest: f64,
    shortest: Option<f64>,
}

impl Intervals {
    fn see(&mut self, interval: f64) {
        match self.gap_over_s {
            Some(_) => self.add(interval),
            None => {
                self.first.push(interval);
                if self.first.len() == SAMPLED {
                    self.settle();
                }
            }
        }
    }

    fn settle(&mut self) {
        let mut first = std::mem::take(&mut self.first);
        let middle = first.len() / 2;
        let (_, median, _) = first.select_nth_unstable_by(middle, f64::total_cmp);
        self.gap_over_s = Some(GAP * *median);
        first.into_iter().for_each(|interval| self.add(interval));
    }

    fn add(&mut self, interval: f64) {
        if self.gap_over_s.is_some_and(|gap| interval <= gap) {
            self.sum += interval;
            self.count += 1;
            self.longest = self.longest.max(interval);
            let shortest = self.shortest.unwrap_or(interval);
            self.shortest = Some(shortest.min(interval));
        }
    }

    fn timing(mut self) -> Option<Timing> {
        if !self.first.is_empty() {
            self.settle();
        }
        Some(Timing {
            rate_hz: near_whole(self.count as f64 / self.sum),
            longest_s: self.longest,
            shortest_s: self.shortest?,
            gap_over_s: self.gap_over_s?,
        })
    }
}
