//! The CIE 1976 u', v' diagram, on which things of colour are drawn.

use super::WIDTH;
use super::axis::Axis;
use super::frame::{Edges, Frame};
use super::ink::{GREY, Stroke};
use super::pen::{Pen, Point, drawing};
use crate::numbers::significant;

/// Taller than other plots: both axes have the same scale.
const HEIGHT: f64 = 484.0;
const U_END: f64 = 0.7;
const V_END: f64 = 0.6;

/// The diagram with the outline of real light, `locus`, and what `draw` adds.
pub(super) fn uv_diagram(locus: &[Point], draw: impl FnOnce(&Frame, &Pen)) -> String {
    let x = Axis::linear("u′", 0.0, U_END, |u| significant(u, 2));
    let y = Axis::linear("v′", 0.0, V_END, |v| significant(v, 2));
    let mut edges = Edges::within(WIDTH, HEIGHT, 0.0);
    edges.right = edges.left + (edges.bottom - edges.top) * U_END / V_END;
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, edges, &x, &y);
        frame.line(
            locus.iter().chain(locus.first()).copied(),
            Stroke::solid(GREY, 1.25),
        );
        draw(&frame, pen);
    })
}

/// A ring: a place that was asked for or made, beside the dots of channels.
pub(super) fn ring(pen: &Pen, at: Point, colour: plotters::style::RGBColor) {
    pen.dot(at, 5.5, colour);
    pen.dot(at, 3.0, plotters::style::WHITE);
}
