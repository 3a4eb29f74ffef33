//! Percent flicker after a brick wall, as California measures it.
//!
//! Source: California Title 24 Joint Appendix JA10.5 and JA10.6: transform the whole record, drop every bin above the
//! cut-off, transform back, `100 (max - min) / (max + min)`. The text does not say what becomes of a bin exactly at
//! the cut-off; it is kept here. Filtered light may go below 0, so the figure may pass 100.

use super::{Samples, fourier, modulation::percent};
use realfft::num_complex::Complex64;

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
    Some(Bins::of(samples)?.below(cut_off_hz))
}

/// The same at each of [`CUT_OFFS_HZ`], for one transform forward.
#[must_use]
pub fn filtered_modulations(samples: Samples) -> [Option<f64>; CUT_OFFS_HZ.len()] {
    let bins = Bins::of(samples);
    CUT_OFFS_HZ.map(|cut_off| bins.as_ref().map(|bins| bins.below(cut_off)))
}

/// Percent flicker of what is kept of a record.
pub(super) fn brick_wall(samples: Samples, kept: impl Fn(f64) -> bool) -> Option<f64> {
    Some(Bins::of(samples)?.kept(kept))
}

/// The transform of a lit record.
struct Bins {
    bins: Vec<Complex64>,
    length: usize,
    bin_hz: f64,
}

impl Bins {
    fn of(samples: Samples) -> Option<Self> {
        samples.mean()?;
        let length = samples.values.len();
        Some(Self {
            bins: fourier::forward(samples.values.to_vec()),
            length,
            bin_hz: samples.rate_hz / length as f64,
        })
    }

    /// A bin at the cut-off may be computed a rounding above it.
    fn below(&self, cut_off_hz: f64) -> f64 {
        self.kept(|frequency| frequency <= cut_off_hz * (1.0 + 1e-9))
    }

    fn kept(&self, kept: impl Fn(f64) -> bool) -> f64 {
        let pass = |(index, &bin)| {
            if kept(index as f64 * self.bin_hz) {
                bin
            } else {
                0.0.into()
            }
        };
        let bins = self.bins.iter().enumerate().map(pass).collect();
        percent(&fourier::inverse(bins, self.length))
    }
}
