//! The current of each channel about a pulse, one lane a channel.

use super::WIDTH;
use super::axis::Axis;
use super::frame::{Edges, x_axis};
use super::ink::{ACCENT, BLACK, FAINT, GREY, Stroke};
use super::labels::shortened;
use super::pen::{CHARACTER, Pen, Side, drawing};
use crate::report::Checked;
use crate::run::{Driving, DrivingChannel, Zoom};

/// Top of the first lane, and the room between two.
const TOP: f64 = 10.0;
const GAP: f64 = 8.0;

/// Bars are the stream, lines the current over the full one of the set point; all lanes have one scale of time.
pub(in crate::report) fn zooms(checked: &Checked, driving: &Driving) -> String {
    let channels = checked.description.channels.iter().zip(&driving.channels);
    let height = (300.0 / driving.channels.len() as f64).clamp(40.0, 110.0);
    let edges = Edges {
        left: 122.0,
        right: WIDTH - 62.0,
        top: TOP,
        bottom: TOP + height * driving.channels.len() as f64,
    };
    let zooms = || driving.channels.iter().filter_map(|c| c.zoom.as_ref());
    let seconds = zooms().map(|zoom| zoom.seconds).fold(0.0, f64::max);
    let currents = zooms().flat_map(|zoom| &zoom.current).map(|at| at.1);
    let most = currents.fold(1.0, f64::max);
    drawing(WIDTH, edges.bottom + 52.0, |pen| {
        let x = Axis::time(if seconds > 0.0 { seconds } else { 1e-6 });
        x_axis(pen, edges, &x);
        for (i, (channel, driving)) in channels.enumerate() {
            let bottom = TOP + height * (i + 1) as f64;
            let top = bottom - height + GAP;
            let lane = Edges {
                top,
                bottom,
                ..edges
            };
            let end = (lane.left - 8.0, (top + bottom) / 2.0);
            let name = shortened(&channel.name, (end.0 / CHARACTER) as usize);
            pen.text(&name, end, Side::Left, BLACK);
            let lane = Lane {
                pen,
                lane,
                x: &x,
                most,
            };
            lane.draw(driving);
        }
    })
}

struct Lane<'a, 'svg> {
    pen: &'a Pen<'svg>,
    lane: Edges,
    x: &'a Axis,
    most: f64,
}

impl Lane<'_, '_> {
    fn draw(&self, driving: &DrivingChannel) {
        match &driving.zoom {
            Some(zoom) => self.zoom(zoom),
            None => {
                let dark = driving.edges_hz == 0.0;
                let words = if dark {
                    "dark"
                } else {
                    "pulses too rarely to be shown"
                };
                let middle = (self.lane.top + self.lane.bottom) / 2.0;
                let at = (self.lane.left + 8.0, middle);
                self.pen.text(words, at, Side::Right, GREY);
            }
        }
        self.level(0.0, Stroke::solid(GREY, 0.75));
    }

    fn zoom(&self, zoom: &Zoom) {
        for &(begin, end) in &zoom.ones {
            self.pen
                .bar(self.at((begin, 1.0)), self.at((end, 0.0)), FAINT);
        }
        self.level(1.0, Stroke::dashed(GREY, 0.75));
        let (_, full) = self.at((0.0, 1.0));
        self.pen
            .text("100 %", (self.lane.right + 4.0, full), Side::Right, GREY);
        let points: Vec<_> = zoom.current.iter().map(|&at| self.at(at)).collect();
        self.pen.line(&points, Stroke::solid(ACCENT, 1.75));
    }

    fn level(&self, current: f64, stroke: Stroke) {
        let (_, height) = self.at((0.0, current));
        let ends = [(self.lane.left, height), (self.lane.right, height)];
        self.pen.line(&ends, stroke);
    }

    fn at(&self, (seconds, current): (f64, f64)) -> (f64, f64) {
        let Edges {
            left,
            right,
            top,
            bottom,
        } = self.lane;
        (
            left + self.x.place(seconds) * (right - left),
            bottom - current / self.most * (bottom - top),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn a_channel_without_a_pulse_says_so() {
        let checked = fixture::checked();
        let mut driving = checked.observed.driving[0].clone();
        assert!(!zooms(&checked, &driving).contains("dark"));
        driving.channels[2].zoom = None;
        assert!(zooms(&checked, &driving).contains("pulses too rarely"));
        driving.channels[2].edges_hz = 0.0;
        assert!(zooms(&checked, &driving).contains("dark"));
    }
}
