//! Discrete Fourier transforms of real records, of any length.

use std::cell::{OnceCell, RefCell};
use std::sync::Arc;

use realfft::{ComplexToReal, RealFftPlanner, RealToComplex, num_complex::Complex64};

/// Lengths whose plans a thread keeps: a plan costs as much time as a transform and as much memory as a record.
const KEPT: usize = 4;

/// Made where it is first needed: a way that is never gone costs nothing.
struct Plan {
    length: usize,
    forward: OnceCell<Arc<dyn RealToComplex<f64>>>,
    inverse: OnceCell<Arc<dyn ComplexToReal<f64>>>,
}

impl Plan {
    fn of(length: usize) -> Self {
        Self {
            length,
            forward: OnceCell::new(),
            inverse: OnceCell::new(),
        }
    }

    fn forward(&self) -> &dyn RealToComplex<f64> {
        let plan = || RealFftPlanner::new().plan_fft_forward(self.length);
        &**self.forward.get_or_init(plan)
    }

    fn inverse(&self) -> &dyn ComplexToReal<f64> {
        let plan = || RealFftPlanner::new().plan_fft_inverse(self.length);
        &**self.inverse.get_or_init(plan)
    }
}

thread_local! {
    /// The latest used last.
    static PLANS: RefCell<Vec<Plan>> = const { RefCell::new(Vec::new()) };
}

fn with_plan<T>(length: usize, transform: impl FnOnce(&Plan) -> T) -> T {
    PLANS.with_borrow_mut(|plans| {
        let kept = plans.iter().position(|plan| plan.length == length);
        let plan = kept.map_or_else(|| Plan::of(length), |place| plans.remove(place));
        if plans.len() == KEPT {
            plans.remove(0);
        }
        let result = transform(&plan);
        plans.push(plan);
        result
    })
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
            let plan = plan.forward();
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

/// The way back, with room that it keeps.
#[derive(Clone, Default)]
pub(super) struct Inverse {
    /// Bins 0 to half the length; the transform overwrites them.
    pub(super) bins: Vec<Complex64>,
    /// The record.
    pub(super) values: Vec<f64>,
    scratch: Vec<Complex64>,
}

impl Inverse {
    /// Makes the record of `length` whose bins these are.
    pub(super) fn transform(&mut self, length: usize) {
        // The transform refuses the imaginary residue that rounding may leave at zero and at half the rate.
        self.bins[0].im = 0.0;
        if length.is_multiple_of(2) {
            self.bins[length / 2].im = 0.0;
        }
        let scale = 1.0 / length as f64;
        with_plan(length, |plan| {
            let plan = plan.inverse();
            self.values.resize(length, 0.0);
            self.scratch
                .resize(plan.get_scratch_len(), Complex64::default());
            plan.process_with_scratch(&mut self.bins, &mut self.values, &mut self.scratch)
                .expect("lengths that fit");
        });
        self.values.iter_mut().for_each(|value| *value *= scale);
    }
}
