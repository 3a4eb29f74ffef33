//! Frames over time: the Level asked for and given, and the time from a frame to its light.

use std::collections::HashSet;

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{CHARACTER, Pen, Side, drawing};
use super::script_light::time_axis;
use super::{HEIGHT, WIDTH};
use crate::numbers::significant;
use crate::report::Checked;
use crate::run::{BusSeen, FrameSeen, Heard};

/// A frame on the very control step has no dead time; a log axis has no place for none.
const LEAST_MS: f64 = 0.01;
/// Height of the rows of marks.
const MARKS: f64 = 22.0;

pub(in crate::report) fn bus_levels(checked: &Checked, seen: &BusSeen) -> String {
    let x = time_axis(checked);
    let y = Axis::linear("Level", 0.0, 65_535.0, |level| significant(level, 5));
    drawing(WIDTH, HEIGHT, |pen| {
        let mut edges = Edges::within(WIDTH, HEIGHT, 24.0);
        edges.top += MARKS;
        let frame = Frame::new(pen, edges, &x, &y);
        marks(&frame, pen, seen);
        let script = checked.observed.script.iter();
        let given = script.map(|moment| (moment.time_s, f64::from(moment.level)));
        frame.line(given, Stroke::solid(ACCENT, 1.5));
        let asked = |entry: &FrameSeen| Some((entry.at_s, f64::from(entry.level?)));
        let mut drawn = HashSet::new();
        for at in seen
            .frames
            .iter()
            .filter_map(asked)
            .map(|asked| frame.at(asked))
        {
            if drawn.insert((at.0.round() as i64, at.1.round() as i64)) {
                pen.dot(at, 2.2, BLACK);
            }
        }
        pen.text("asked for", (330.0, 12.0), Side::Right, BLACK);
        pen.text(
            "given",
            (330.0 + 11.0 * CHARACTER, 12.0),
            Side::Right,
            ACCENT,
        );
    })
}

/// A mark a frame above the plot, one a pixel and kind.
fn marks(frame: &Frame, pen: &Pen, seen: &BusSeen) {
    let top = frame.edges.top - MARKS;
    let mut drawn = HashSet::new();
    for entry in &seen.frames {
        let x = frame.at((entry.at_s, 0.0)).0;
        let (from, to, colour) = match entry.heard {
            Heard::Moved => (0.0, 16.0, BLACK),
            Heard::Taken => (0.0, 7.0, BLACK),
            Heard::Passed => (12.0, 16.0, GREY),
            Heard::Lost => (0.0, 20.0, ACCENT),
        };
        if drawn.insert((x.round() as i64, to as i64)) {
            pen.line(
                &[(x, top + from), (x, top + to)],
                Stroke::solid(colour, 1.0),
            );
        }
    }
}

pub(in crate::report) fn dead_times(checked: &Checked, seen: &BusSeen) -> String {
    let limit_ms = checked
        .description
        .bus
        .as_ref()
        .map_or(0.0, |bus| 1e3 * bus.dead_time_s);
    let timed = |entry: &FrameSeen| Some((entry.at_s, 1e3 * entry.dead_time_s?));
    let times: Vec<_> = seen.frames.iter().filter_map(timed).collect();
    let x = time_axis(checked);
    let values = times
        .iter()
        .map(|time| time.1.max(LEAST_MS))
        .chain([limit_ms]);
    let y = Axis::over(Scale::Log, "dead time in ms", values, |time| {
        significant(time, 3)
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, 24.0), &x, &y);
        frame.level(limit_ms, Stroke::dashed(BLACK, 1.25));
        let mut drawn = HashSet::new();
        for at in times
            .iter()
            .map(|&(at_s, time)| frame.at((at_s, time.max(LEAST_MS))))
        {
            if drawn.insert((at.0.round() as i64, at.1.round() as i64)) {
                pen.dot(at, 2.2, ACCENT);
            }
        }
    })
}
