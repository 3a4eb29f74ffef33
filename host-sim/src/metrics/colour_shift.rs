//! How far a colour moves while the light changes.

use crate::colour::{Uv, Xy, mix};

/// One n-step: the radius in u'v' of the smallest circle (CIE TN 001:2014, clause 3.1; the number from memory,
/// consistent with the ellipses of MacAdam 1942).
pub const N_STEP: f64 = 0.0011;

/// The chromaticity of channels, each given by its chromaticity and its flux at full, at some lights (fractions of full); none
/// in the dark.
#[must_use]
pub fn chromaticity(channels: &[(Xy, f64)], lights: &[f64]) -> Option<Uv> {
    let lights = channels.iter().zip(lights);
    mix(lights.map(|(&(xy, flux), light)| (xy, flux * light))).map(Xy::to_uv)
}

/// Delta u'v' between two settings; none if either is dark.
#[must_use]
pub fn colour_shift(channels: &[(Xy, f64)], one: &[f64], other: &[f64]) -> Option<f64> {
    Some(chromaticity(channels, one)?.distance(chromaticity(channels, other)?))
}
