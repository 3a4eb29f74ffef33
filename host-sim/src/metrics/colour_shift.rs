//! How far a colour moves while the light changes.

use milliglow::density::Density;

use crate::colour::{Uv, Xy, mix};

/// One n-step: the radius in u'v' of the smallest circle (CIE TN 001:2014, clause 3.1; the number from memory,
/// consistent with the ellipses of MacAdam 1942).
pub const N_STEP: f64 = 0.0011;

/// The chromaticity of channels, each given by its chromaticity and its flux at full, at some densities; none in the dark.
#[must_use]
pub fn chromaticity(channels: &[(Xy, f64)], densities: &[Density]) -> Option<Uv> {
    let lights = channels.iter().zip(densities);
    mix(lights.map(|(&(xy, flux), density)| (xy, flux * density.as_f64()))).map(Xy::to_uv)
}

/// Delta u'v' between two settings; none if either is dark.
#[must_use]
pub fn colour_shift(channels: &[(Xy, f64)], one: &[Density], other: &[Density]) -> Option<f64> {
    Some(chromaticity(channels, one)?.distance(chromaticity(channels, other)?))
}
