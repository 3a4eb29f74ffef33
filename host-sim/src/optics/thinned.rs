//! Fewer samples of a sampled light.

use super::fir::{Edges, Thinning, taps};

/// Keeps every n-th sample after a filter of linear phase: flat to 0.1 % up to 0.4 of the new rate, at least 90 dB down
/// from half of it on. *Memory*: constant.
#[derive(Clone, Debug)]
pub struct Thinned {
    factor: usize,
    thinning: Option<Thinning<1>>,
}

impl Thinned {
    /// Keeps one sample of `factor`; all of them, unfiltered, for 1 or less.
    #[must_use]
    pub fn new(factor: usize) -> Self {
        let factor = factor.max(1);
        let edges = Edges {
            pass: 0.4 / factor as f64,
            stop: 0.5 / factor as f64,
        };
        Self {
            factor,
            thinning: (factor > 1).then(|| Thinning::new(taps(edges, |_| 1.0), factor)),
        }
    }

    /// One sample of so many is kept.
    #[must_use]
    pub fn factor(&self) -> usize {
        self.factor
    }

    /// Samples of input that lie before the first one given.
    #[must_use]
    pub fn delay(&self) -> usize {
        self.thinning.as_ref().map_or(0, Thinning::delay)
    }

    /// Takes a sample; now and then gives one.
    pub fn push(&mut self, value: f64) -> Option<f64> {
        match &mut self.thinning {
            None => Some(value),
            Some(thinning) => thinning.push([value]).map(|[value]| value),
        }
    }
}
