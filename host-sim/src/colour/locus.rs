//! The locus of real light: every spectrum's chromaticity lies inside it.

use super::{Xy, standard_observer};
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
    BOUNDARY.get_or_init(|| convex_hull(standard_observer().iter().map(monochromatic).collect()))
}

/// Whether a real light can have this chromaticity, within 1e-6 of the boundary.
#[must_use]
pub fn is_real(light: Xy) -> bool {
    let points = boundary();
    let ends = points.iter().cycle().skip(1);
    points.iter().zip(ends).all(|(&from, &to)| {
        let length = (to.x - from.x).hypot(to.y - from.y);
        turn(from, to, light) >= -TOLERANCE * length
    })
}

fn monochromatic(seen: &super::Observed) -> Xy {
    let sum = seen.x_bar + seen.y_bar + seen.z_bar;
    Xy {
        x: seen.x_bar / sum,
        y: seen.y_bar / sum,
    }
}

/// Twice the area of the triangle, positive when it turns to the left.
fn turn(a: Xy, b: Xy, c: Xy) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Andrew's monotone chain: the lower side from left to right, then the upper side back.
fn convex_hull(mut points: Vec<Xy>) -> Vec<Xy> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull = chain(points.iter().copied());
    hull.extend(chain(points.iter().rev().copied()));
    hull
}

/// One side of the hull, without its last point, which begins the other side.
fn chain(points: impl Iterator<Item = Xy>) -> Vec<Xy> {
    let mut side: Vec<Xy> = Vec::new();
    for point in points {
        while let [.., a, b] = side[..]
            && turn(a, b, point) <= 0.0
        {
            side.pop();
        }
        side.push(point);
    }
    side.pop();
    side
}
