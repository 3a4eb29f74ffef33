//! A piece of a waveform: light against time.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, GREY, Stroke};
use super::pen::{Pen, Point, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::metrics::flicker::Samples;
use crate::numbers::significant;

/// Light over its mean against time, from 0 at the first sample; `None` if it is dark. A dashed level line shows the mean.
///
/// Any number of samples: where several fall on a pixel, the least and the largest of them are drawn.
#[must_use]
pub fn waveform(samples: Samples) -> Option<String> {
    Some(waveform_over(samples, samples.mean()?))
}

/// The same over a mean that is known: a piece of a waveform has a mean of its own.
pub(in crate::report) fn waveform_over(samples: Samples, mean: f64) -> String {
    let points = extremes(samples, mean);
    let x = Axis::time(samples.seconds());
    let lights = points.iter().map(|point| point.1).chain([1.0]);
    let y = Axis::over(Scale::Linear, "light over its mean", lights, |light| {
        significant(light, 4)
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, 24.0), &x, &y);
        frame.line(points.iter().copied(), Stroke::solid(ACCENT, 1.5));
        mean_line(&frame, pen);
    })
}

fn mean_line(frame: &Frame, pen: &Pen) {
    frame.level(1.0, Stroke::dashed(GREY, 1.0));
    let height = frame.at((0.0, 1.0)).1 - 11.0;
    pen.text("mean", (frame.edges.right - 4.0, height), Side::Left, GREY);
}

/// Time and light over the mean: each sample, or the two extremes of each pixel in the order in which they came.
fn extremes(samples: Samples, mean: f64) -> Vec<Point> {
    let a_pixel = samples.values.len().div_ceil(WIDTH as usize);
    let point = |index: usize| (index as f64 / samples.rate_hz, samples.values[index] / mean);
    if a_pixel <= 2 {
        return (0..samples.values.len()).map(point).collect();
    }
    let pixels = samples.values.chunks(a_pixel).enumerate();
    pixels
        .flat_map(|(pixel, values)| {
            let by_light = |one: &usize, other: &usize| values[*one].total_cmp(&values[*other]);
            let least = (0..values.len()).min_by(by_light).unwrap_or(0);
            let most = (0..values.len()).max_by(by_light).unwrap_or(0);
            [least.min(most), least.max(most)].map(|offset| point(pixel * a_pixel + offset))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_spike_in_a_long_record_is_drawn() {
        let mut values = vec![1.0; 100_000];
        values[77_777] = 9.0;
        let samples = Samples {
            rate_hz: 1e5,
            values: &values,
        };
        let points = extremes(samples, 1.0);
        assert!(points.len() <= 2 * WIDTH as usize);
        assert!(points.contains(&(0.777_77, 9.0)));
        assert!(points.is_sorted_by_key(|point| point.0));
    }

    #[test]
    fn darkness_has_no_waveform() {
        let drawn = |value: f64| {
            waveform(Samples {
                rate_hz: 1e3,
                values: &[value; 10],
            })
        };
        assert!(drawn(0.0).is_none());
        assert!(drawn(1.0).is_some_and(|svg| svg.contains("mean") && svg.contains("time in ms")));
    }
}
