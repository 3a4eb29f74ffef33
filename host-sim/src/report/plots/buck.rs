//! What a gated buck's current does: from zero, and for short pulses.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::numbers::{percent, quantity, significant};
use crate::optics::drivers::{Buck, Corner, Driver, Gated};

/// Cycles shown after the rise, and ticks that a drawing is traced in.
const CYCLES: f64 = 6.0;
const TICKS: u32 = 400;

/// The string's current in A from the begin of an unbroken 1.
pub(in crate::report) fn buck_start(buck: &Buck) -> String {
    let design = buck.design();
    let seconds = design.rise_s + CYCLES / design.frequency_hz;
    let tick_s = (seconds / f64::from(TICKS)).max(1e-9);
    let points = traced(buck, tick_s, |_| true)
        .into_iter()
        .map(|(time, current)| (time, current * design.mean_a));
    let points: Vec<_> = points.collect();
    let x = Axis::time(seconds);
    let most = points.iter().map(|point| point.1).chain([design.mean_a]);
    let y = Axis::over(Scale::Linear, "current in A", most, |current| {
        significant(current, 4)
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, 24.0), &x, &y);
        frame.line(points.iter().copied(), Stroke::solid(ACCENT, 1.75));
        level(&frame, pen, design.mean_a, "mean");
    })
}

fn level(frame: &Frame, pen: &Pen, value: f64, name: &str) {
    frame.level(value, Stroke::dashed(GREY, 1.0));
    let height = frame.at((0.0, value)).1 - 11.0;
    pen.text(name, (frame.edges.right - 4.0, height), Side::Left, GREY);
}

/// Time and current over the full one, in straight lines.
fn traced(buck: &Buck, tick_s: f64, on: impl Fn(u32) -> bool) -> Vec<(f64, f64)> {
    let gated = Gated::whatever_the_rise(&Driver::Buck(*buck), tick_s, 1);
    let Ok(mut gated) = gated else {
        return Vec::new();
    };
    let (mut points, mut corners) = (Vec::new(), Vec::<Corner>::new());
    for tick in 0..TICKS {
        corners.clear();
        gated.trace(on(tick), &mut corners);
        let begin = f64::from(tick) * tick_s;
        let corners = corners.iter();
        points.extend(corners.map(|corner| (begin + corner.after_s, corner.current)));
    }
    points
}

/// Peak and charge of a pulse that stands alone, over those of an ideal one, against its length; both axes in decades.
pub(in crate::report) fn buck_pulses(buck: &Buck) -> String {
    let rise_s = buck.design().rise_s;
    let lengths = (-24..=24).map(|k| rise_s * 10_f64.powf(f64::from(k) / 24.0));
    let driver = Driver::Buck(*buck);
    let pulses = lengths.filter_map(|length_s| {
        let pulse = driver.following(length_s, 1).ok()?;
        Some((length_s, pulse.peak, pulse.charge))
    });
    let pulses: Vec<_> = pulses.collect();
    let x = Axis::over(
        Scale::Log,
        "length of the pulse",
        pulses.iter().map(|pulse| pulse.0),
        |seconds| quantity(seconds, "s"),
    );
    let values = pulses.iter().flat_map(|pulse| [pulse.1, pulse.2]);
    let y = Axis::over(
        Scale::Log,
        "over an ideal pulse",
        values.chain([1.0]),
        percent,
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, 110.0), &x, &y);
        let strokes = [Stroke::solid(ACCENT, 2.2), Stroke::dashed(BLACK, 1.75)];
        frame.level(1.0, Stroke::solid(GREY, 1.0));
        frame.plumb(rise_s, Stroke::dashed(GREY, 1.0));
        frame.line(pulses.iter().map(|pulse| (pulse.0, pulse.1)), strokes[0]);
        frame.line(pulses.iter().map(|pulse| (pulse.0, pulse.2)), strokes[1]);
        frame.keys(&[("peak", strokes[0]), ("charge", strokes[1])]);
    })
}
