//! Cuts a stretch without a gap into segments.

use super::flickermeters::Flickermeters;
use super::flickermeters::Reading;
use super::segments::Cutter;
use crate::optics::Thinned;

/// A stretch up to this long is one segment.
const WHOLE_SECONDS: f64 = 10.0;
/// Segments of longer ones, and from the begin of one to the begin of the next.
const SECONDS: f64 = 3.0;
const HOP_SECONDS: f64 = 1.5;
/// What is sampled at twice this rate or more is thinned to it or a little more, which leaves 20 kHz.
const LINES_HZ: f64 = 50_000.0;

/// Thins what is sampled faster than the lines need.
pub(super) fn for_lines(rate_hz: f64) -> Thinned {
    Thinned::new(whole_times(rate_hz, LINES_HZ))
}

/// How many times a rate is another at least; one that was computed from times may lie a rounding below.
pub(super) fn whole_times(rate_hz: f64, other_hz: f64) -> usize {
    (rate_hz / other_hz * (1.0 + 1e-6)).floor() as usize
}

/// The stretch that is being read. *Memory*: its last 10 s at most, thinned.
pub(super) struct Open {
    begin_s: f64,
    thinned: Thinned,
    /// Of the record, and of `values`.
    record_hz: f64,
    rate_hz: f64,
    taken: u64,
    values: Vec<f64>,
    /// Samples before `values`.
    dropped: u64,
    meters: Option<Flickermeters>,
}

impl Open {
    pub(super) fn new(begin_s: f64, rate_hz: f64) -> Self {
        let thinned = for_lines(rate_hz);
        Self {
            begin_s: begin_s + thinned.delay() as f64 / rate_hz,
            record_hz: rate_hz,
            rate_hz: rate_hz / thinned.factor() as f64,
            thinned,
            taken: 0,
            values: Vec::new(),
            dropped: 0,
            meters: Flickermeters::new(begin_s, rate_hz),
        }
    }

    fn samples(&self, seconds: f64) -> usize {
        (seconds * self.rate_hz).round() as usize
    }

    /// The next samples of the record.
    pub(super) fn take(&mut self, values: &[f64], cutter: &mut Cutter) {
        if let Some(meters) = &mut self.meters {
            meters.feed(values);
        }
        self.taken += values.len() as u64;
        let thinned = values.iter().filter_map(|&value| self.thinned.push(value));
        self.values.extend(thinned);
        if self.taken as f64 > WHOLE_SECONDS * self.record_hz {
            self.cut(cutter);
        }
    }

    fn cut(&mut self, cutter: &mut Cutter) {
        let (segment, hop) = (self.samples(SECONDS), self.samples(HOP_SECONDS));
        while self.values.len() >= segment {
            cutter.cut(self.time_s(), &self.values[..segment]);
            self.values.drain(..hop);
            self.dropped += hop as u64;
        }
    }

    fn time_s(&self) -> f64 {
        self.begin_s + self.dropped as f64 / self.rate_hz
    }

    /// What is left is a shorter segment, unless all of it was in the one before. Gives what the flickermeters read.
    pub(super) fn end(self, cutter: &mut Cutter) -> Vec<Reading> {
        let seen = if self.dropped == 0 {
            0
        } else {
            self.samples(SECONDS) - self.samples(HOP_SECONDS)
        };
        if self.values.len() > seen {
            cutter.cut(self.time_s(), &self.values);
        }
        self.meters.map_or_else(Vec::new, Flickermeters::finished)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Most samples that wait to be judged, of a record of so many seconds at 1 kHz.
    fn most_held(seconds: usize) -> usize {
        std::thread::scope(|scope| {
            let mut cutter = Cutter::new(scope, 1000.0, None);
            let mut open = Open::new(0.0, 1000.0);
            let mut most = 0;
            for _ in 0..seconds {
                open.take(&[1.0; 1000], &mut cutter);
                let waiting: usize = cutter.waiting.iter().map(|waiting| waiting.1.len()).sum();
                most = most.max(open.values.len() + waiting);
            }
            open.end(&mut cutter);
            let segments = cutter.finished().0.len();
            assert_eq!(segments, (seconds * 2 - 3) / 3);
            most
        })
    }

    #[test]
    fn what_is_held_does_not_grow_with_the_record() {
        let most = most_held(60);
        assert_eq!(most_held(600), most);
        assert!((10_000..=20_000).contains(&most), "{most}");
    }

    #[test]
    fn a_rate_a_rounding_below_is_whole_times_another() {
        assert_eq!(whole_times(99_999.999_999_998, 50_000.0), 2);
        assert_eq!(whole_times(99_999.0, 50_000.0), 1);
    }
}
