//! The gamut of a few lights: every chromaticity that they can give together.

use super::Uv;
use super::hull::{Point, convex_hull, distance, holds, sides};

/// Distances in u'v' that count as none: a ten-thousandth of an n-step.
pub const NO_DISTANCE: f64 = 1e-7;

/// The convex hull of lights in u', v', where it is exact: a mixture of two lights lies on the straight line between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Gamut {
    corners: Vec<Point>,
}

/// Where a chromaticity stands in a gamut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// The nearest chromaticity of the gamut: the very one, if it is inside.
    pub nearest: Uv,
    /// Delta u'v' to it; 0 inside.
    pub distance: f64,
    /// What of the gamut it lies on.
    pub face: Face,
}

/// A part of a gamut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Face {
    /// The area within the edges: all lights may take part.
    Inside,
    /// The edge between two corners: only lights on it can take part.
    Edge(Uv, Uv),
    /// A corner: only lights in this place can take part.
    Corner(Uv),
}

impl Gamut {
    /// The gamut of lights, at least one.
    ///
    /// # Panics
    /// Without a light.
    #[must_use]
    pub fn of(lights: impl IntoIterator<Item = Uv>) -> Self {
        let corners = convex_hull(lights.into_iter().map(point).collect());
        assert!(!corners.is_empty(), "a gamut has at least one light");
        Self { corners }
    }

    /// The corners, counterclockwise: two of a line, one of a single colour.
    pub fn corners(&self) -> impl Iterator<Item = Uv> {
        self.corners.iter().copied().map(uv)
    }

    /// The distance across where the gamut is narrowest between a corner and an edge; 0 for a line or a single colour.
    #[must_use]
    pub fn width(&self) -> f64 {
        let across = |(from, to): (Point, Point)| {
            let far = |corner: &Point| super::hull::turn(from, to, *corner) / distance(from, to);
            self.corners.iter().map(far).fold(0.0, f64::max)
        };
        match self.corners.len() {
            0..=2 => 0.0,
            _ => sides(&self.corners)
                .map(across)
                .fold(f64::INFINITY, f64::min),
        }
    }

    /// Where a chromaticity stands; within [`NO_DISTANCE`] of an edge or a corner it counts as on it.
    #[must_use]
    pub fn place(&self, light: Uv) -> Place {
        let asked = point(light);
        let inside = self.corners.len() > 2 && holds(&self.corners, asked, -NO_DISTANCE);
        if inside {
            return Place {
                nearest: light,
                distance: 0.0,
                face: Face::Inside,
            };
        }
        let outline = sides(&self.corners).map(|(from, to)| on_edge(from, to, asked));
        let found = outline.min_by(|a, b| a.distance.total_cmp(&b.distance));
        found.expect("an outline has a side")
    }
}

/// The nearest point of an edge.
fn on_edge(from: Point, to: Point, asked: Point) -> Place {
    let length = distance(from, to);
    let along = (to.0 - from.0) * (asked.0 - from.0) + (to.1 - from.1) * (asked.1 - from.1);
    let along = if length > 0.0 { along / length } else { 0.0 };
    let (nearest, face) = if along <= NO_DISTANCE {
        (from, Face::Corner(uv(from)))
    } else if along >= length - NO_DISTANCE {
        (to, Face::Corner(uv(to)))
    } else {
        let part = along / length;
        let foot = (
            from.0 + (to.0 - from.0) * part,
            from.1 + (to.1 - from.1) * part,
        );
        (foot, Face::Edge(uv(from), uv(to)))
    };
    let far = distance(nearest, asked);
    Place {
        nearest: uv(nearest),
        distance: if far <= NO_DISTANCE { 0.0 } else { far },
        face,
    }
}

fn point(light: Uv) -> Point {
    (light.u, light.v)
}

fn uv((u, v): Point) -> Uv {
    Uv { u, v }
}
