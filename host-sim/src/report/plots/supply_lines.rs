//! The lines of what the drivers draw from their supply.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, GREY, Stroke};
use super::pen::drawing;
use super::spectrum::strongest;
use super::{HEIGHT, WIDTH};
use crate::metrics::flicker::Line;
use crate::numbers::{quantity, significant};
use crate::run::{Driving, SupplyCurrent};

/// What is heard.
const ENDS_HZ: [f64; 2] = [20.0, 20_000.0];
/// Room at the right for the keys.
const KEYS: f64 = 150.0;

/// Amplitude over the mean against frequency, both axes in decades: phases spread, and behind it all channels together.
pub(in crate::report) fn supply_lines(driving: &Driving) -> String {
    let lines = |current: &SupplyCurrent| {
        let line = |&(frequency_hz, amplitude): &(f64, f64)| Line {
            frequency_hz,
            amplitude,
        };
        strongest(&current.lines.iter().map(line).collect::<Vec<_>>())
    };
    let (spread, together) = (lines(&driving.spread), lines(&driving.together));
    let x = Axis::over(Scale::Log, "frequency", ENDS_HZ.into_iter(), |frequency| {
        quantity(frequency, "Hz")
    });
    let all = spread.iter().chain(&together).map(|line| line.amplitude);
    let y = Axis::over(
        Scale::Log,
        "amplitude over the mean",
        all.chain([0.001, 1.0]),
        |amplitude| significant(amplitude, 4),
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, KEYS), &x, &y);
        let strokes = [Stroke::solid(GREY, 5.0), Stroke::solid(ACCENT, 2.0)];
        for (lines, stroke) in [(&together, strokes[0]), (&spread, strokes[1])] {
            for line in lines {
                let foot = (line.frequency_hz, 0.0);
                frame.line([foot, (line.frequency_hz, line.amplitude)], stroke);
            }
        }
        frame.keys(&[("together", strokes[0]), ("spread", strokes[1])]);
    })
}

#[cfg(test)]
mod tests {
    use super::{Driving, supply_lines};
    use crate::report::fixture;

    #[test]
    fn every_line_has_a_stem_with_phases_spread_and_without() {
        let mut driving = fixture::checked().observed.driving[0].clone();
        let strokes = |driving: &Driving| supply_lines(driving).matches("<polyline").count();
        let with = strokes(&driving);
        driving.spread.lines.clear();
        assert_eq!(with - strokes(&driving), 3);
        driving.together.lines.clear();
        assert_eq!(with - strokes(&driving), 5);
    }
}
