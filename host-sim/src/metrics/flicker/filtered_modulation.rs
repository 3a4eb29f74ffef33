//! Percent flicker after a brick wall, as California measures it.
//!
//! Source: California Title 24 Joint Appendix JA10.5 and JA10.6: transform the whole record, drop every bin above the
//! cut-off, transform back, `100 (max - min) / (max + min)`. The text does not say what becomes of a bin exactly at
//! the cut-off; it is kept here. Filtered light may go below 0, so the figure may pass 100.

use super::{Samples, fourier, modulation::percent};

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
    // A bin at the cut-off may be computed a rounding above it.
    brick_wall(samples, |frequency| frequency <= cut_off_hz * (1.0 + 1e-9))
}

/// Percent flicker of what is kept of a record.
pub(super) fn brick_wall(samples: Samples, kept: impl Fn(f64) -> bool) -> Option<f64> {
    samples.mean()?;
    let length = samples.values.len();
    let mut bins = fourier::forward(samples.values.to_vec());
    for (index, bin) in bins.iter_mut().enumerate() {
        if !kept(index as f64 * samples.rate_hz / length as f64) {
            *bin = 0.0.into();
        }
    }
    Some(percent(&fourier::inverse(bins, length)))
}
