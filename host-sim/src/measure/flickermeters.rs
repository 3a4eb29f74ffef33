//! PstLM of overlapping segments, by meters that run side by side.

use super::stretch::whole_times;
use crate::metrics::flicker::pst_lm::{PstLm, RATES_HZ, Severity};
use crate::optics::Thinned;

/// A segment of PstLM, and from the begin of one to the begin of the next, in s.
const SECONDS: f64 = 180.0;
const HOP_SECONDS: f64 = 90.0;
/// Light that is sampled faster than the meter takes is thinned to about this rate.
const THINNED_HZ: f64 = 10_000.0;

/// What one meter read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// When it began, in s.
    pub begin_s: f64,
    /// When it ended, in s.
    pub end_s: f64,
    /// What it read; `None` if it was too short or dark.
    pub severity: Option<Severity>,
}

/// The meters of a stretch without a gap.
pub(super) struct Flickermeters {
    begin_s: f64,
    rate_hz: f64,
    thinned: Thinned,
    samples: u64,
    running: Vec<(u64, PstLm)>,
    pub(super) readings: Vec<Reading>,
}

impl Flickermeters {
    /// `None` for a rate that is too low for the meter.
    pub(super) fn new(begin_s: f64, rate_hz: f64) -> Option<Self> {
        let factor = if rate_hz > *RATES_HZ.end() {
            whole_times(rate_hz, THINNED_HZ)
        } else {
            1
        };
        let rate_hz = rate_hz / factor as f64;
        RATES_HZ.contains(&rate_hz).then(|| Self {
            begin_s,
            rate_hz,
            thinned: Thinned::new(factor),
            samples: 0,
            running: Vec::new(),
            readings: Vec::new(),
        })
    }

    pub(super) fn feed(&mut self, values: &[f64]) {
        let values: Vec<f64> = values
            .iter()
            .filter_map(|&value| self.thinned.push(value))
            .collect();
        let hop = (HOP_SECONDS * self.rate_hz) as u64;
        for part in values.chunks(1024) {
            if self.samples >= self.running.last().map_or(0, |(begin, _)| begin + hop) {
                let meter = PstLm::new(self.rate_hz).expect("a rate for the meter");
                self.running.push((self.samples, meter));
            }
            self.running
                .iter_mut()
                .for_each(|(_, meter)| meter.feed(part));
            self.samples += part.len() as u64;
            self.read_what_is_full();
        }
    }

    fn read_what_is_full(&mut self) {
        let full = (SECONDS * self.rate_hz) as u64;
        if self
            .running
            .first()
            .is_some_and(|(begin, _)| self.samples - begin >= full)
        {
            let meter = self.running.remove(0);
            self.read(&meter);
        }
    }

    fn read(&mut self, (begin, meter): &(u64, PstLm)) {
        let time = |samples: u64| self.begin_s + samples as f64 / self.rate_hz;
        self.readings.push(Reading {
            begin_s: time(*begin),
            end_s: time(self.samples),
            severity: meter.severity(),
        });
    }

    /// All readings; a stretch that ends within a segment gives it too, if it is long enough or the only one.
    pub(super) fn finished(mut self) -> Vec<Reading> {
        for meter in std::mem::take(&mut self.running) {
            if meter.1.severity().is_some() || self.readings.is_empty() {
                self.read(&meter);
            }
        }
        self.readings
    }
}
