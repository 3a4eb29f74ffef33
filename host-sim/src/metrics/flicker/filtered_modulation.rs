//! Percent flicker after a brick wall, as California measures it.
//!
//! Source: California Title 24 Joint Appendix JA10.5 and JA10.6: transform the whole record, drop every bin above the
//! cut-off, transform back, `100 (max - min) / (max + min)`. The text does not say what becomes of a bin exactly at
//! the cut-off; it is kept here. Filtered light may go below 0, so the figure may pass 100.

use std::cell::RefCell;

use super::{
    Samples,
    fourier::{Forward, Inverse},
    modulation::percent,
};

/// Band and resolution.
pub const BAND: &str = "0 Hz to the cut-off, bins of one over the record's length";

/// The cut-off frequencies that the procedure names, in Hz.
pub const CUT_OFFS_HZ: [f64; 5] = [40.0, 90.0, 200.0, 400.0, 1000.0];

/// Lowest sample rate that the procedure allows, in Hz.
pub const MIN_RATE_HZ: f64 = 20_000.0;

/// Shortest record that the procedure allows, in s.
pub const MIN_SECONDS: f64 = 1.0;

/// Percent flicker of the whole record without what is above `cut_off_hz`; `None` if it is dark.
///
/// A record that does not hold whole periods shows its own ends as a slow swing: cut it first
/// ([`super::period::whole_periods`]) where the procedure's letter does not matter.
#[must_use]
pub fn filtered_modulation(samples: Samples, cut_off_hz: f64) -> Option<f64> {
    Bins::of(samples, |bins| bins.below(cut_off_hz))
}

/// The same at each of [`CUT_OFFS_HZ`], for one transform forward.
#[must_use]
pub fn filtered_modulations(samples: Samples) -> [Option<f64>; CUT_OFFS_HZ.len()] {
    let filtered = Bins::of(samples, |bins| {
        CUT_OFFS_HZ.map(|cut_off| bins.below(cut_off))
    });
    filtered.map_or([None; CUT_OFFS_HZ.len()], |filtered| filtered.map(Some))
}

/// Percent flicker of what is kept of a record.
pub(super) fn brick_wall(samples: Samples, kept: impl Fn(f64) -> bool) -> Option<f64> {
    Bins::of(samples, |bins| bins.kept(kept))
}

/// The transform of a lit record, and room for the way back.
#[derive(Default)]
struct Bins {
    forward: Forward,
    inverse: Inverse,
    length: usize,
    bin_hz: f64,
}

impl Bins {
    /// Looks at a record; `None` if it is dark. Each thread keeps its room, since the next record is often as long.
    fn of<T>(samples: Samples, see: impl FnOnce(&mut Self) -> T) -> Option<T> {
        thread_local! {
            static BINS: RefCell<Bins> = RefCell::default();
        }
        samples.mean()?;
        BINS.with_borrow_mut(|bins| {
            bins.take(samples);
            Some(see(bins))
        })
    }

    fn take(&mut self, samples: Samples) {
        self.length = samples.values.len();
        self.bin_hz = samples.rate_hz / self.length as f64;
        self.forward.values.clear();
        self.forward.values.extend_from_slice(samples.values);
        self.forward.transform();
    }

    /// A bin at the cut-off may be computed a rounding above it.
    fn below(&mut self, cut_off_hz: f64) -> f64 {
        self.kept(|frequency| frequency <= cut_off_hz * (1.0 + 1e-9))
    }

    fn kept(&mut self, kept: impl Fn(f64) -> bool) -> f64 {
        let bin_hz = self.bin_hz;
        let pass = |(index, &bin)| {
            if kept(index as f64 * bin_hz) {
                bin
            } else {
                0.0.into()
            }
        };
        self.inverse.bins.clear();
        let bins = self.forward.bins.iter().enumerate();
        self.inverse.bins.extend(bins.map(pass));
        self.inverse.transform(self.length);
        percent(&self.inverse.values)
    }
}
