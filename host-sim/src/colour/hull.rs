//! Points in a plane, and the convex hull around them.

/// A point of any plane: x, y or u', v'.
pub(super) type Point = (f64, f64);

/// Twice the area of the triangle, positive when it turns to the left.
pub(super) fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
}

/// The straight distance.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// The corners, counterclockwise and each once: two for points on a line, one for points in one place.
///
/// Andrew's monotone chain: the lower side from left to right, then the upper side back.
pub(super) fn convex_hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    points.dedup();
    if points.len() < 2 {
        return points;
    }
    let mut hull = chain(points.iter().copied());
    hull.extend(chain(points.iter().rev().copied()));
    hull
}

/// One side of the hull, without its last point, which begins the other side.
fn chain(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut side: Vec<Point> = Vec::new();
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

/// Each side of a closed outline: its two ends.
pub(super) fn sides(corners: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    let ends = corners.iter().cycle().skip(1);
    corners.iter().copied().zip(ends.copied())
}

/// Whether a point lies inside a counterclockwise convex outline, or at most `tolerance` outside every side of it.
pub(super) fn holds(corners: &[Point], point: Point, tolerance: f64) -> bool {
    sides(corners).all(|(from, to)| turn(from, to, point) >= -tolerance * distance(from, to))
}
