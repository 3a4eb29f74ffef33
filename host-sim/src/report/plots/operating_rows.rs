//! The rows of an operating table over the light of a channel.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{CHARACTER, Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::numbers::{quantity, significant};
use crate::report::Checked;
use crate::run::{RowOverLight, TableOverLight};

/// Rates more than this below the highest are cut off: towards full they fall to nothing.
const DECADES: f64 = 1e-4;
/// Height of a line of names above the frame.
const LINE: f64 = 16.0;

/// Pulse rate in each row, both axes in decades; above the frame the range and stretch of each.
pub(in crate::report) fn operating_rows(checked: &Checked, table: &TableOverLight) -> String {
    let minimum = checked.description.requirements.pulse_hz;
    let points = || table.rows.iter().flat_map(|row| &row.pulse_rates);
    let most = points().map(|point| point.1).fold(minimum, f64::max);
    let lights = points().map(|point| point.0 * 100.0);
    let x = Axis::over(
        Scale::Log,
        "light of the channel in % of its full",
        lights,
        |light| significant(light, 4),
    );
    let rates = points().map(|point| point.1.max(most * DECADES));
    let y = Axis::over(Scale::Log, "pulse rate", rates.chain([minimum]), |rate| {
        quantity(rate, "Hz")
    });
    let mut edges = Edges::within(WIDTH, HEIGHT, 24.0);
    edges.top += 2.0 * LINE;
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, edges, &x, &y);
        frame.level(minimum, Stroke::dashed(GREY, 1.25));
        for (index, row) in table.rows.iter().enumerate() {
            let stroke = [Stroke::solid(ACCENT, 2.2), Stroke::solid(BLACK, 1.75)][index % 2];
            let points = row.pulse_rates.iter();
            frame.line(points.map(|&(light, rate)| (light * 100.0, rate)), stroke);
            name(&frame, pen, row, index);
        }
    })
}

/// Over the middle of its row where there is room; every other name one line higher.
fn name(frame: &Frame, pen: &Pen, row: &RowOverLight, index: usize) {
    let (Some(first), Some(last)) = (row.pulse_rates.first(), row.pulse_rates.last()) else {
        return;
    };
    let ends = [first, last].map(|point| frame.at((point.0 * 100.0, 0.0)).0);
    let text = row_name(row);
    let half = text.chars().count() as f64 * CHARACTER / 2.0;
    let middle = (ends[0] + ends[1]) / 2.0;
    let at = middle.clamp(half, WIDTH - half);
    let height = frame.edges.top - 6.0 - LINE * (index % 2) as f64;
    pen.text(&text, (at, height), Side::Above, [ACCENT, BLACK][index % 2]);
    frame.plumb(first.0 * 100.0, Stroke::dashed(GREY, 0.75));
}

/// `range 1/8, 4 ticks`.
fn row_name(row: &RowOverLight) -> String {
    let range = match row.range_ratio {
        1.0 => "full range".to_owned(),
        ratio => format!("range 1/{}", significant(ratio, 4)),
    };
    let plural = if row.stretch == 1 { "tick" } else { "ticks" };
    format!("{range}, {} {plural}", row.stretch)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn every_row_says_its_range_and_stretch() {
        let checked = fixture::checked();
        let svg = operating_rows(&checked, &checked.observed.tables[0]);
        for text in ["range 1/8, 1 tick", "full range, 4 ticks"] {
            assert!(svg.contains(text), "{text}");
        }
    }
}
