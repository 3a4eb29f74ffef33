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

#[cfg(test)]
mod tests {
    use super::Thinned;
    use std::f64::consts::PI;

    /// Amplitude after thinning of a sine of 1, at a frequency in parts of the new rate.
    fn left(factor: usize, frequency: f64) -> f64 {
        let mut thinned = Thinned::new(factor);
        let angle = |index: i32| 2.0 * PI * frequency * f64::from(index) / factor as f64;
        let out: Vec<f64> = (0..40_000)
            .filter_map(|i| thinned.push(angle(i).sin()))
            .collect();
        let square: f64 = out.iter().map(|value| value * value).sum();
        (2.0 * square / out.len() as f64).sqrt()
    }

    #[test]
    fn the_pass_band_is_flat_and_the_stop_band_is_90_db_down() {
        for factor in [2, 5, 20] {
            for pass in [0.0837, 0.2113, 0.3, 0.3971] {
                let off = (left(factor, pass) - 1.0).abs();
                assert!(off < 1e-3, "{factor} {pass} {off}");
            }
            for stop in [0.503, 0.61, 0.77, 0.9] {
                let kept = left(factor, stop);
                assert!(kept < 10_f64.powf(-4.5), "{factor} {stop} {kept}");
            }
        }
    }

    #[test]
    fn one_of_one_changes_nothing() {
        let mut thinned = Thinned::new(0);
        assert_eq!((thinned.factor(), thinned.delay()), (1, 0));
        assert_eq!(thinned.push(0.7), Some(0.7));
    }
}
