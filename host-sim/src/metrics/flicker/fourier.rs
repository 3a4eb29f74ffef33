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

/// A transform that keeps its room from one record to the next.
#[derive(Clone, Default)]
pub(super) struct Forward {
    /// The record; the transform overwrites it.
    pub(super) values: Vec<f64>,
    /// Bins 0 to half the length; nothing is scaled.
    pub(super) bins: Vec<Complex64>,
    scratch: Vec<Complex64>,
}

impl Forward {
    /// Makes the bins of the values.
    pub(super) fn transform(&mut self) {
        with_plan(self.values.len(), |plan| {
            let plan = &plan.forward;
            self.bins.resize(plan.complex_len(), Complex64::default());
            self.scratch
                .resize(plan.get_scratch_len(), Complex64::default());
            plan.process_with_scratch(&mut self.values, &mut self.bins, &mut self.scratch)
                .expect("lengths that fit");
        });
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
