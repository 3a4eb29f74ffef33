//! The locus of real light: every spectrum's chromaticity lies inside it.

use super::hull::{convex_hull, holds};
use super::{Observed, Xy, standard_observer};
use std::sync::OnceLock;

/// How far outside a chromaticity may lie and still count as real: the rounding of a data sheet's figures.
const TOLERANCE: f64 = 1e-6;

/// The boundary of real light, counterclockwise, its last point joined to its first: the spectral locus and the purple line.
///
/// It is the convex hull of the monochromatic lights, since every light is a sum of those
/// (the table's last digits would else make knots in the far red and violet).
#[must_use]
pub fn boundary() -> &'static [Xy] {
    static BOUNDARY: OnceLock<Vec<Xy>> = OnceLock::new();
    BOUNDARY.get_or_init(|| {
        let hull = convex_hull(standard_observer().iter().map(monochromatic).collect());
        hull.into_iter().map(|(x, y)| Xy { x, y }).collect()
    })
}

/// Whether a real light can have this chromaticity, within 1e-6 of the boundary.
#[must_use]
pub fn is_real(light: Xy) -> bool {
    let points: Vec<_> = boundary().iter().map(|xy| (xy.x, xy.y)).collect();
    holds(&points, (light.x, light.y), TOLERANCE)
}

fn monochromatic(seen: &Observed) -> (f64, f64) {
    let sum = seen.x_bar + seen.y_bar + seen.z_bar;
    (seen.x_bar / sum, seen.y_bar / sum)
}
