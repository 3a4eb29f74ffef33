//! The lines of light against frequency, with limits that depend on frequency.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{Point, drawing};
use super::{HEIGHT, WIDTH};
use crate::metrics::flicker::Line;
use crate::metrics::flicker::ieee1789::{BRANCH_HZ, LOW_RISK, NO_EFFECT, Practice};
use crate::numbers::{quantity, significant};

/// The lowest frequency that is drawn, in Hz.
pub(super) const LOWEST_HZ: f64 = 1.0;

/// Amplitude over the mean against frequency, both axes in decades from 1 Hz on, a stem a line, with the limits of IEEE
/// 1789-2015. Of the lines that fall on a pixel the strongest is drawn; what is below six decades is not.
#[must_use]
pub fn spectrum(lines: &[Line]) -> String {
    let limits = [("no effect", NO_EFFECT), ("low risk", LOW_RISK)];
    let drawn = strongest(lines);
    let highest = limits.map(|(_, practice)| practice.last_hz());
    let frequencies = drawn.iter().map(|line| line.frequency_hz).chain(highest);
    let x = Axis::over(
        Scale::Log,
        "frequency",
        frequencies.chain([LOWEST_HZ]),
        |frequency| quantity(frequency, "Hz"),
    );
    let amplitudes = drawn.iter().map(|line| line.amplitude);
    let ends = limits.iter().flat_map(|(_, practice)| corners(practice));
    let y = Axis::over(
        Scale::Log,
        "amplitude over the mean",
        amplitudes.chain(ends.map(|end| end.1)),
        |amplitude| significant(amplitude, 4),
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, NAMES), &x, &y);
        let strokes = [Stroke::dashed(BLACK, 1.5), Stroke::solid(GREY, 1.5)];
        let mut keys = Vec::new();
        for ((name, practice), stroke) in limits.iter().zip(strokes) {
            frame.line(corners(practice), stroke);
            keys.push((*name, stroke));
        }
        drawn.iter().for_each(|line| stem(&frame, line));
        frame.keys(&keys);
    })
}

pub(super) fn stem(frame: &Frame, line: &Line) {
    let foot = (line.frequency_hz, 0.0);
    let head = (line.frequency_hz, line.amplitude);
    frame.line([foot, head], Stroke::solid(ACCENT, 2.0));
}

/// A practice is proportional to frequency on either side of the branch: straight on axes of decades.
fn corners(practice: &Practice) -> Vec<Point> {
    let below_branch = BRANCH_HZ.next_down();
    [LOWEST_HZ, below_branch, BRANCH_HZ, practice.last_hz()]
        .into_iter()
        .filter_map(|frequency| Some((frequency, practice.limit(frequency)?)))
        .collect()
}

/// The strongest line of each 1.2 % of frequency, which is about a pixel; in order of frequency as given.
pub(super) fn strongest(lines: &[Line]) -> Vec<Line> {
    let pixel = |line: &Line| (line.frequency_hz.log10() * 200.0).floor();
    let mut kept: Vec<Line> = Vec::new();
    for &line in lines.iter().filter(|line| line.frequency_hz >= LOWEST_HZ) {
        match kept.last_mut() {
            Some(last) if pixel(last) == pixel(&line) => {
                if line.amplitude > last.amplitude {
                    *last = line;
                }
            }
            _ => kept.push(line),
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(frequency_hz: f64, amplitude: f64) -> Line {
        Line {
            frequency_hz,
            amplitude,
        }
    }

    #[test]
    fn limits_jump_at_the_branch() {
        let corners = corners(&LOW_RISK);
        let expected = [
            (1.0, 0.000_25),
            (90.0, 0.0225),
            (90.0, 0.072),
            (1250.0, 1.0),
        ];
        assert_eq!(corners.len(), expected.len());
        for (found, expected) in corners.iter().zip(expected) {
            assert!((found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9);
        }
    }

    #[test]
    fn thousands_of_lines_give_one_stem_a_pixel_and_keep_the_strongest() {
        let mut lines: Vec<_> = (1..5000).map(|hz| line(f64::from(hz), 1e-4)).collect();
        lines[1233].amplitude = 0.5;
        let kept = strongest(&lines);
        assert!(kept.len() < 700, "{}", kept.len());
        assert!(kept.contains(&lines[1233]));
    }

    #[test]
    fn no_line_still_shows_the_limits() {
        let svg = spectrum(&[]);
        assert!(svg.contains("no effect") && svg.contains("low risk"));
    }
}
