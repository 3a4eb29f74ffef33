//! Discrete Fourier transforms of real records, of any length.

use std::cell::RefCell;
use std::sync::Arc;

use realfft::{ComplexToReal, RealFftPlanner, RealToComplex, num_complex::Complex64};

/// Lengths whose plans a thread keeps: a plan costs as much time as a transform and as much memory as a record.
const KEPT: usize = 4;

struct Plan {
    length: usize,
    forward: Arc<dyn RealToComplex<f64>>,
    inverse: Arc<dyn ComplexToReal<f64>>,
}

thread_local! {
    /// The latest used last.
    static PLANS: RefCell<Vec<Plan>> = const { RefCell::new(Vec::new()) };
}

fn with_plan<T>(length: usize, transform: impl FnOnce(&Plan) -> T) -> T {
    PLANS.with_borrow_mut(|plans| {
        let kept = plans.iter().position(|plan| plan.length == length);
        let plan = kept.map_or_else(|| planned(length), |place| plans.remove(place));
        if plans.len() == KEPT {
            plans.remove(0);
        }
        let result = transform(&plan);
        plans.push(plan);
        result
    })
}

fn planned(length: usize) -> Plan {
    let mut planner = RealFftPlanner::new();
    Plan {
        length,
        forward: planner.plan_fft_forward(length),
        inverse: planner.plan_fft_inverse(length),
    }
}

/// Bins 0 to half the length; nothing is scaled.
pub(super) fn forward(mut values: Vec<f64>) -> Vec<Complex64> {
    with_plan(values.len(), |plan| {
        let mut bins = plan.forward.make_output_vec();
        plan.forward
            .process(&mut values, &mut bins)
            .expect("lengths that fit");
        bins
    })
}

/// The record of `length` whose bins these are.
pub(super) fn inverse(mut bins: Vec<Complex64>, length: usize) -> Vec<f64> {
    // The transform refuses the imaginary residue that rounding may leave at zero and at half the rate.
    bins[0].im = 0.0;
    if length.is_multiple_of(2) {
        bins[length / 2].im = 0.0;
    }
    let scale = 1.0 / length as f64;
    with_plan(length, |plan| {
        let mut values = plan.inverse.make_output_vec();
        plan.inverse
            .process(&mut bins, &mut values)
            .expect("lengths that fit");
        values.iter_mut().for_each(|value| *value *= scale);
        values
    })
}
