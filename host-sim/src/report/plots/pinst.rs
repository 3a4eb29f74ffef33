//! Momentary flicker against time.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, GREY, Stroke};
use super::pen::{Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::metrics::flicker::pst_lm::{SETTLING_SECONDS, Severity};
use crate::numbers::significant;

/// Pinst of a reading against time since the meter's start; it begins when the filters have settled. A dashed level
/// line shows 1, what is just perceived.
#[must_use]
pub fn pinst(severity: &Severity) -> String {
    let x = Axis::time(SETTLING_SECONDS + severity.judged_seconds);
    let values = severity.pinst.iter().copied();
    let y = Axis::over(
        Scale::Linear,
        "Pinst (momentary flicker)",
        values.clone().chain([1.0]),
        |value| significant(value, 4),
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, 24.0), &x, &y);
        perceived(&frame, pen);
        let time = |index: usize| SETTLING_SECONDS + index as f64 * severity.interval_s;
        let points = values
            .enumerate()
            .map(|(index, value)| (time(index), value));
        frame.line(points, Stroke::solid(ACCENT, 1.75));
    })
}

fn perceived(frame: &Frame, pen: &Pen) {
    frame.level(1.0, Stroke::dashed(GREY, 1.0));
    let at = frame.at((0.0, 1.0));
    pen.text(
        "just perceived",
        (at.0 + 4.0, at.1 + 11.0),
        Side::Right,
        GREY,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_axis_holds_the_largest_value_and_the_level_1() {
        let severity = |value: f64| Severity {
            pst_lm: 1.0,
            pinst_max: value,
            judged_seconds: 160.0,
            interval_s: 0.1,
            pinst: vec![value; 1600],
        };
        for (value, mark) in [(0.01, ">\n1\n<"), (37.0, ">\n40\n<")] {
            let svg = pinst(&severity(value));
            assert!(
                svg.contains("just perceived") && svg.contains(mark),
                "{svg}"
            );
        }
    }
}
