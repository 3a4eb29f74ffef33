//! Pinst against time, for plots.

/// Most points that a trace keeps.
const MOST_POINTS: usize = 2000;

/// The largest value of each interval; intervals double when the points run out, so that memory is constant.
#[derive(Clone, Debug)]
pub(super) struct PeakTrace {
    interval: u64,
    seen: u64,
    peaks: Vec<f64>,
}

impl PeakTrace {
    pub(super) fn new() -> Self {
        Self {
            interval: 1,
            seen: 0,
            peaks: Vec::with_capacity(MOST_POINTS),
        }
    }

    pub(super) fn see(&mut self, value: f64) {
        if self.seen.is_multiple_of(self.interval) {
            self.begin();
        }
        self.seen += 1;
        if let Some(peak) = self.peaks.last_mut() {
            *peak = peak.max(value);
        }
    }

    /// Values an interval and the peak of each.
    pub(super) fn peaks(&self) -> (u64, &[f64]) {
        (self.interval, &self.peaks)
    }

    fn begin(&mut self) {
        if self.peaks.len() == MOST_POINTS {
            let larger = |pair: &[f64]| pair.iter().copied().fold(0.0, f64::max);
            self.peaks = self.peaks.chunks(2).map(larger).collect();
            self.interval *= 2;
        }
        self.peaks.push(0.0);
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_POINTS, PeakTrace};

    #[test]
    fn keeps_every_peak_in_its_place() {
        let mut trace = PeakTrace::new();
        for value in 0..9001 {
            trace.see(if value == 1234 { 7.0 } else { 1.0 });
        }
        let (interval, peaks) = trace.peaks();
        assert_eq!((interval, peaks.len()), (8, 1126));
        assert!(peaks.len() <= MOST_POINTS);
        let place = peaks.iter().position(|&peak| peak == 7.0);
        assert_eq!(place, Some(1234 / 8));
    }
}
