//! How far the peaks of warm LEDs move: reported, not corrected.

use crate::thermal::WarmState;

/// Least and most nm a degree: InGaN +0.03 to +0.05, AlGaInP +0.1 to +0.15 (typical ranges, from memory only).
const NM_PER_K: [f64; 2] = [0.03, 0.15];
/// Where LEDs are sorted.
const SORTED_AT: f64 = 25.0;

/// Of the warmest channel, in nm against 25 °C.
pub(super) fn wavelength_drift(state: &WarmState) -> [f64; 2] {
    let warmest = state.junctions.iter().copied().fold(f64::MIN, f64::max);
    NM_PER_K.map(|nm| nm * (warmest - SORTED_AT))
}
