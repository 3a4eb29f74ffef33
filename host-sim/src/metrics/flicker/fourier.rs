//! Discrete Fourier transforms of real records, of any length.

use std::sync::Arc;

use realfft::{RealFftPlanner, RealToComplex, num_complex::Complex64};

/// A transform that keeps its plan and its room from one record to the next.
#[derive(Clone, Default)]
pub(super) struct Forward {
    plan: Option<Arc<dyn RealToComplex<f64>>>,
    /// The record; the transform overwrites it.
    pub(super) values: Vec<f64>,
    /// Bins 0 to half the length; nothing is scaled.
    pub(super) bins: Vec<Complex64>,
    scratch: Vec<Complex64>,
}

impl Forward {
    /// Makes the bins of the values.
    pub(super) fn transform(&mut self) {
        let length = self.values.len();
        let kept = self.plan.take().filter(|plan| plan.len() == length);
        let plan = kept.unwrap_or_else(|| RealFftPlanner::new().plan_fft_forward(length));
        self.bins.resize(plan.complex_len(), Complex64::default());
        self.scratch
            .resize(plan.get_scratch_len(), Complex64::default());
        plan.process_with_scratch(&mut self.values, &mut self.bins, &mut self.scratch)
            .expect("lengths that fit");
        self.plan = Some(plan);
    }

    /// Numbers that there is room for.
    #[cfg(test)]
    pub(super) fn room(&self) -> usize {
        self.values.capacity() + 2 * (self.bins.capacity() + self.scratch.capacity())
    }
}

/// Bins 0 to half the length; nothing is scaled.
pub(super) fn forward(values: Vec<f64>) -> Vec<Complex64> {
    let mut forward = Forward {
        values,
        ..Forward::default()
    };
    forward.transform();
    forward.bins
}

/// The record of `length` whose bins these are.
pub(super) fn inverse(mut bins: Vec<Complex64>, length: usize) -> Vec<f64> {
    let transform = RealFftPlanner::new().plan_fft_inverse(length);
    let mut values = transform.make_output_vec();
    // The transform refuses the imaginary residue that rounding may leave at zero and at half the rate.
    bins[0].im = 0.0;
    if length.is_multiple_of(2) {
        bins[length / 2].im = 0.0;
    }
    transform
        .process(&mut bins, &mut values)
        .expect("lengths that fit");
    let scale = 1.0 / length as f64;
    values.iter_mut().for_each(|value| *value *= scale);
    values
}
