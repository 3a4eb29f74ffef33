//! Two axes with their grid, and what is drawn between them.

use super::WIDTH;
use super::axis::Axis;
use super::ink::{BLACK, FAINT, GREY, Stroke};
use super::labels::{shortened, spread};
use super::pen::{CHARACTER, Pen, Point, Side};

/// Room at the right for the names of lines.
pub(super) const NAMES: f64 = 142.0;
/// Height of a line of labels.
const LABEL: f64 = 17.0;
/// Length of the piece of a line that stands for it.
const KEY: f64 = 26.0;

/// Edges of the plotted rectangle.
#[derive(Clone, Copy)]
pub(super) struct Edges {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

impl Edges {
    /// Leaves room for the axes and the vertical one's title, and `right` pixels at the right.
    pub(super) fn within(width: f64, height: f64, right: f64) -> Self {
        Self {
            left: 66.0,
            right: width - right,
            top: 34.0,
            bottom: height - 52.0,
        }
    }
}

pub(super) struct Frame<'a, 'svg> {
    pen: &'a Pen<'svg>,
    x: &'a Axis,
    y: &'a Axis,
    pub(super) edges: Edges,
}

impl<'a, 'svg> Frame<'a, 'svg> {
    /// Draws grid and axes.
    pub(super) fn new(pen: &'a Pen<'svg>, edges: Edges, x: &'a Axis, y: &'a Axis) -> Self {
        let frame = Self { pen, x, y, edges };
        x_axis(pen, edges, x);
        frame.y_axis();
        frame
    }

    pub(super) fn at(&self, (x, y): Point) -> Point {
        let e = self.edges;
        (
            e.left + self.x.place(x) * (e.right - e.left),
            e.bottom - self.y.place(y) * (e.bottom - e.top),
        )
    }

    pub(super) fn line(&self, points: impl IntoIterator<Item = Point>, stroke: Stroke) {
        let points: Vec<_> = points.into_iter().map(|point| self.at(point)).collect();
        self.pen.line(&points, stroke);
    }

    /// A level line over the whole width.
    pub(super) fn level(&self, y: f64, stroke: Stroke) {
        let height = self.at((0.0, y)).1;
        self.pen.line(
            &[(self.edges.left, height), (self.edges.right, height)],
            stroke,
        );
    }

    /// A plumb line over the whole height.
    pub(super) fn plumb(&self, x: f64, stroke: Stroke) {
        let place = self.at((x, 0.0)).0;
        self.pen.line(
            &[(place, self.edges.top), (place, self.edges.bottom)],
            stroke,
        );
    }

    /// Names lines at the right of the frame, each led to its last point.
    pub(super) fn names(&self, lines: &[(&str, Point, Stroke)]) {
        let ends: Vec<_> = lines.iter().map(|(_, end, _)| self.at(*end)).collect();
        let wanted: Vec<_> = ends.iter().map(|end| end.1).collect();
        let heights = spread(&wanted, LABEL, self.edges.top, self.edges.bottom);
        for ((name, _, stroke), (end, height)) in lines.iter().zip(ends.iter().zip(heights)) {
            let begin = self.edges.right + 4.0;
            let leader = [*end, (begin, end.1), (begin + 10.0, height)];
            self.pen.line(&leader, Stroke::solid(stroke.colour, 0.75));
            self.name(name, (begin + 13.0, height));
        }
    }

    /// Names lines at the right of the frame by a piece of each: for lines that end in one place.
    pub(super) fn keys(&self, lines: &[(&str, Stroke)]) {
        let begin = self.edges.right + 10.0;
        for (i, (name, stroke)) in lines.iter().enumerate() {
            let height = self.edges.top + LABEL * (i as f64 + 0.5);
            self.pen
                .line(&[(begin, height), (begin + KEY, height)], *stroke);
            self.name(name, (begin + KEY + 5.0, height));
        }
    }

    fn name(&self, name: &str, at: Point) {
        let room = ((WIDTH - at.0) / CHARACTER) as usize;
        self.pen
            .text(&shortened(name, room), at, Side::Right, BLACK);
    }

    fn y_axis(&self) {
        let e = self.edges;
        for (value, label) in &self.y.marks {
            let height = self.at((0.0, *value)).1;
            self.pen.line(
                &[(e.left, height), (e.right, height)],
                Stroke::solid(FAINT, 1.0),
            );
            self.pen
                .text(label, (e.left - 7.0, height), Side::Left, BLACK);
        }
        self.pen.line(
            &[(e.left, e.top), (e.left, e.bottom)],
            Stroke::solid(GREY, 1.0),
        );
        self.pen
            .text(&self.y.title, (8.0, 12.0), Side::Right, BLACK);
    }
}

/// The axis below a plot, with its grid.
pub(super) fn x_axis(pen: &Pen, e: Edges, x: &Axis) {
    for (value, label) in &x.marks {
        let place = e.left + x.place(*value) * (e.right - e.left);
        pen.line(
            &[(place, e.top), (place, e.bottom)],
            Stroke::solid(FAINT, 1.0),
        );
        pen.text(label, (place, e.bottom + 7.0), Side::Below, BLACK);
    }
    pen.line(
        &[(e.left, e.bottom), (e.right, e.bottom)],
        Stroke::solid(GREY, 1.0),
    );
    pen.text(
        &x.title,
        ((e.left + e.right) / 2.0, e.bottom + 27.0),
        Side::Below,
        BLACK,
    );
}
