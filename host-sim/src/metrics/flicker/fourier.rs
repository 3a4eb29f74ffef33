//! Discrete Fourier transforms of real records, of any length.

use realfft::{RealFftPlanner, num_complex::Complex64};

/// Bins 0 to half the length; nothing is scaled.
pub(super) fn forward(mut values: Vec<f64>) -> Vec<Complex64> {
    let transform = RealFftPlanner::new().plan_fft_forward(values.len());
    let mut bins = transform.make_output_vec();
    transform
        .process(&mut values, &mut bins)
        .expect("lengths that fit");
    bins
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
