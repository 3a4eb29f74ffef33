//! The dimming curve: Level to light.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, Stroke};
use super::pen::drawing;
use super::{HEIGHT, WIDTH};
use crate::numbers::significant;

pub(in crate::report) fn curve(curve: &[(u16, f64)], scale: Scale) -> String {
    let x = Axis::linear("Level", 0.0, 65_535.0, |level| significant(level, 5));
    let lights = curve.iter().map(|(_, light)| light * 100.0);
    let y = Axis::over(scale, "light in % of full", lights, |light| {
        significant(light, 4)
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, 24.0), &x, &y);
        let points = curve
            .iter()
            .map(|(level, light)| (f64::from(*level), light * 100.0));
        frame.line(points, Stroke::solid(ACCENT, 2.2));
    })
}
