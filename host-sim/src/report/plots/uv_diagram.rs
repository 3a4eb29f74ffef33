//! The CIE 1976 u', v' diagram, on which things of colour are drawn.

use super::WIDTH;
use super::axis::Axis;
use super::frame::{Edges, Frame};
use super::ink::{GREY, Stroke};
use super::pen::{Pen, Point, drawing};
use crate::colour::{Gamut, planckian};
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

/// The part of the Planckian locus that is drawn: 1 000 to 25 000 K.
const WARMEST_MIREK: u32 = 1_000;
const HOTTEST_MIREK: u32 = 40;

/// The Planckian locus, from hot to warm.
pub(super) fn planckian_locus() -> impl Iterator<Item = Point> {
    let places = (HOTTEST_MIREK..=WARMEST_MIREK).step_by(10);
    places.map(|mirek| {
        let at = planckian(1e6 / f64::from(mirek)).to_uv();
        (at.u, at.v)
    })
}

/// All that lights can give together, as a closed line.
pub(super) fn outline(gamut: &Gamut) -> Vec<Point> {
    let corners: Vec<Point> = gamut.corners().map(|uv| (uv.u, uv.v)).collect();
    corners.iter().chain(corners.first()).copied().collect()
}
