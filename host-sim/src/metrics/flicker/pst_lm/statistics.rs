//! How often which Pinst is exceeded.

/// Classes a decade: each is 0.23 % wide, and PstLM goes with the square root.
const CLASSES_PER_DECADE: f64 = 1000.0;
const CLASSES: usize = 24_000;
/// Lower end of the first class, as a power of ten. What lies below counts into it.
const FIRST_DECADE: f64 = -12.0;

/// PstLM, before the square root, of a Pinst of 1 that stands still: the weights of [`Exceedance::severity`] added up.
pub(super) const EVEN: f64 = 0.0314 + 0.0525 + 0.0657 + 0.28 + 0.08;

/// Counts of values in classes of even ratio: memory is constant whatever the duration.
#[derive(Clone, Debug)]
pub(super) struct Exceedance {
    counts: Vec<u64>,
    total: u64,
}

impl Exceedance {
    pub(super) fn new() -> Self {
        Self {
            counts: vec![0; CLASSES],
            total: 0,
        }
    }

    pub(super) fn count(&mut self, value: f64) {
        // The conversion saturates, so that 0 falls into the first class.
        let class = ((value.log10() - FIRST_DECADE) * CLASSES_PER_DECADE) as usize;
        self.counts[class.min(CLASSES - 1)] += 1;
        self.total += 1;
    }

    pub(super) fn total(&self) -> u64 {
        self.total
    }

    /// PstLM, before the square root, from smoothed percentiles: IEC 61000-4-15 and IEC TR 61547-1.
    pub(super) fn severity(&self) -> f64 {
        0.0314 * self.mean_exceeded(&[0.1])
            + 0.0525 * self.mean_exceeded(&[0.7, 1.0, 1.5])
            + 0.0657 * self.mean_exceeded(&[2.2, 3.0, 4.0])
            + 0.28 * self.mean_exceeded(&[6.0, 8.0, 10.0, 13.0, 17.0])
            + 0.08 * self.mean_exceeded(&[30.0, 50.0, 80.0])
    }

    fn mean_exceeded(&self, percents: &[f64]) -> f64 {
        let sum: f64 = percents.iter().map(|&percent| self.exceeded(percent)).sum();
        sum / percents.len() as f64
    }

    /// The value that is exceeded for this part of the time, evenly spread within its class.
    fn exceeded(&self, percent: f64) -> f64 {
        let wanted = percent / 100.0 * self.total as f64;
        let mut above = 0.0;
        for (class, &count) in self.counts.iter().enumerate().rev() {
            let count = count as f64;
            if count > 0.0 && above + count >= wanted {
                let part = 1.0 - (wanted - above) / count;
                return 10_f64.powf(FIRST_DECADE + (class as f64 + part) / CLASSES_PER_DECADE);
            }
            above += count;
        }
        0.0
    }
}
