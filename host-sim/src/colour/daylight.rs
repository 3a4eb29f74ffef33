//! The locus of CIE daylight.

use super::Xy;

/// The chromaticity of the D illuminant of this correlated colour temperature in K (CIE 15 clause 4); none outside
/// 4 000 to 25 000 K.
///
/// D65 is the one of 6 504 K: its name keeps the temperature that it had before the radiation constant changed.
#[must_use]
pub fn daylight(kelvin: f64) -> Option<Xy> {
    if !(4_000.0..=25_000.0).contains(&kelvin) {
        return None;
    }
    let [c3, c2, c1, c0] = if kelvin <= 7_000.0 {
        [-4.6070e9, 2.9678e6, 0.09911e3, 0.244_063]
    } else {
        [-2.0064e9, 1.9018e6, 0.24748e3, 0.237_040]
    };
    let x = ((c3 / kelvin + c2) / kelvin + c1) / kelvin + c0;
    let y = (-3.0 * x + 2.870) * x - 0.275;
    Some(Xy { x, y })
}
