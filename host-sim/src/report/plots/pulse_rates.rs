//! Pulse rate of each channel against light, with the lowest rate asked for.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::{ACCENT, Stroke};
use super::pen::{Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::numbers::{quantity, significant};
use crate::report::Checked;
use crate::run::PulseRates;

pub(in crate::report) fn pulse_rates(checked: &Checked, rates: &PulseRates) -> String {
    let requirements = &checked.description.requirements;
    let lights = rates.rows.iter().map(|row| row.0 * 100.0);
    let x = Axis::over(Scale::Log, "light in % of full", lights, |light| {
        significant(light, 4)
    });
    let all = rates
        .rows
        .iter()
        .flat_map(|row| row.1.iter().copied())
        .chain([requirements.pulse_hz]);
    let y = Axis::over(Scale::Log, "pulse rate", all, |rate| quantity(rate, "Hz"));
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, NAMES), &x, &y);
        frame.plumb(
            requirements.lowest_light * 100.0,
            Stroke::dashed(ACCENT, 1.5),
        );
        minimum_line(&frame, pen, requirements.pulse_hz);
        channel_lines(&frame, checked, rates);
    })
}

fn minimum_line(frame: &Frame, pen: &Pen, minimum: f64) {
    frame.level(minimum, Stroke::dashed(ACCENT, 1.5));
    let text = format!("minimum {}", quantity(minimum, "Hz"));
    let height = frame.at((0.0, minimum)).1;
    // Below the line lies no channel that passes; at the low end of the axis there is no room there.
    let below = if height + 20.0 < frame.edges.bottom {
        11.0
    } else {
        -11.0
    };
    let at = (frame.edges.right - 4.0, height + below);
    pen.text(&text, at, Side::Left, ACCENT);
}

/// A channel that is dark, or lit without a break, has no pulses and no point there.
fn channel_lines(frame: &Frame, checked: &Checked, rates: &PulseRates) {
    let channels = &checked.description.channels;
    let mut names = Vec::new();
    for (i, channel) in channels.iter().enumerate() {
        let stroke = Stroke::channel(i, channels.len());
        let mut points: Vec<_> = rates
            .rows
            .iter()
            .map(|row| (row.0 * 100.0, row.1[i]))
            .filter(|point| point.1 > 0.0)
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let Some(end) = points.last() {
            names.push((&*channel.name, *end, stroke));
            frame.line(points, stroke);
        }
    }
    frame.names(&names);
}
