//! Names points of a plot where the names cover nothing.

use plotters::style::RGBColor;

use super::frame::Edges;
use super::labels::shortened;
use super::pen::{CHARACTER, Pen, Point, Side};

const NAME_CHARACTERS: usize = 16;

/// Writes each name beside its point, and where it can off the places of `lines`; where there is no room, the name is
/// left out.
pub(super) fn name_points(
    pen: &Pen,
    edges: Edges,
    points: &[(&str, Point, RGBColor)],
    lines: &[Point],
) {
    let mut taken: Vec<Patch> = points.iter().map(|(_, at, _)| Patch::around(*at)).collect();
    let lines: Vec<Patch> = lines.iter().map(|at| Patch::of_line(*at)).collect();
    for (name, at, colour) in points {
        let name = shortened(name, NAME_CHARACTERS);
        let covering: Vec<Patch> = taken.iter().chain(&lines).copied().collect();
        let beside = free_side(&name, *at, edges, &covering, NEAR);
        let free = beside.or_else(|| free_side(&name, *at, edges, &taken, SIDES));
        if let Some((side, place)) = free {
            taken.push(Patch::of_text(&name, place, side));
            pen.text(&name, place, side, *colour);
        }
    }
}

/// The same beside the point alone, off the places of `dots` where it can; a name that finds no room there is left out.
pub(super) fn number_points(
    pen: &Pen,
    edges: Edges,
    points: &[(&str, Point, RGBColor)],
    dots: &[Point],
) {
    let mut taken: Vec<Patch> = points.iter().map(|(_, at, _)| Patch::around(*at)).collect();
    let dots: Vec<Patch> = dots.iter().map(|at| Patch::square(*at, 1.5)).collect();
    for (name, at, colour) in points {
        let covering: Vec<Patch> = taken.iter().chain(&dots).copied().collect();
        let free = free_side(name, *at, edges, &covering, CLOSE);
        let free = free.or_else(|| free_side(name, *at, edges, &taken, CLOSE));
        if let Some((side, place)) = free {
            taken.push(Patch::of_text(name, place, side));
            pen.text(name, place, side, *colour);
        }
    }
}

/// Round a point, so that a chain of them that falls leaves room.
const CLOSE: &[(Side, Point)] = &[
    (Side::Left, (-5.0, 13.0)),
    (Side::Right, (5.0, -13.0)),
    (Side::Right, (9.0, 0.0)),
    (Side::Left, (-9.0, 0.0)),
    (Side::Above, (0.0, -8.0)),
    (Side::Below, (0.0, 8.0)),
];

/// Where a name may stand from its point, in the order of trying.
const SIDES: &[(Side, Point)] = &[
    (Side::Right, (9.0, 0.0)),
    (Side::Left, (-9.0, 0.0)),
    (Side::Above, (0.0, -8.0)),
    (Side::Below, (0.0, 8.0)),
    (Side::Above, (0.0, -24.0)),
    (Side::Below, (0.0, 24.0)),
];
/// Those of them that are next to the point.
const NEAR: &[(Side, Point)] = SIDES.split_at(4).0;

/// The first side where a name covers nothing and stays between the axes.
fn free_side(
    name: &str,
    at: Point,
    edges: Edges,
    taken: &[Patch],
    sides: &[(Side, Point)],
) -> Option<(Side, Point)> {
    let places = sides
        .iter()
        .map(|(side, by)| (*side, (at.0 + by.0, at.1 + by.1)));
    places.into_iter().find(|(side, place)| {
        let text = Patch::of_text(name, *place, *side);
        text.is_within(edges) && !taken.iter().any(|other| other.meets(&text))
    })
}

/// A rectangle that something covers.
#[derive(Clone, Copy)]
struct Patch {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Patch {
    fn around(at: Point) -> Self {
        Self::square(at, 6.0)
    }

    fn of_line(at: Point) -> Self {
        Self::square(at, 0.5)
    }

    fn square((x, y): Point, half: f64) -> Self {
        Self {
            left: x - half,
            right: x + half,
            top: y - half,
            bottom: y + half,
        }
    }

    fn of_text(text: &str, at: Point, side: Side) -> Self {
        let width = text.chars().count() as f64 * CHARACTER;
        let (left, middle) = match side {
            Side::Left => (at.0 - width, at.1),
            Side::Right => (at.0, at.1),
            Side::Above => (at.0 - width / 2.0, at.1 - 8.0),
            Side::Below => (at.0 - width / 2.0, at.1 + 8.0),
        };
        Self {
            left,
            right: left + width,
            top: middle - 8.0,
            bottom: middle + 8.0,
        }
    }

    fn is_within(&self, edges: Edges) -> bool {
        self.left > edges.left
            && self.right < edges.right
            && self.top > edges.top
            && self.bottom < edges.bottom
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EDGES: Edges = Edges {
        left: 50.0,
        right: 400.0,
        top: 30.0,
        bottom: 300.0,
    };

    #[test]
    fn a_second_name_at_the_same_place_takes_another_side() {
        let at = (200.0, 200.0);
        let first = free_side("red", at, EDGES, &[], SIDES).unwrap();
        let taken = [Patch::of_text("red", first.1, first.0)];
        let second = free_side("red", at, EDGES, &taken, SIDES).unwrap();
        assert!(!taken[0].meets(&Patch::of_text("red", second.1, second.0)));
    }

    #[test]
    fn a_name_stays_between_the_axes_or_is_left_out() {
        let (side, place) = free_side("warm_white", (380.0, 100.0), EDGES, &[], SIDES).unwrap();
        assert!(Patch::of_text("warm_white", place, side).right < EDGES.right);
        assert!(free_side(&"w".repeat(60), (380.0, 100.0), EDGES, &[], SIDES).is_none());
    }
}
