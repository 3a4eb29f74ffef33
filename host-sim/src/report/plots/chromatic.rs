//! The swing of the chromaticity against frequency.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::{BLACK, Stroke};
use super::pen::drawing;
use super::spectrum::{LOWEST_HZ, stem, strongest};
use super::{HEIGHT, WIDTH};
use crate::metrics::N_STEP;
use crate::metrics::flicker::Line;
use crate::metrics::flicker::svm;
use crate::numbers::{quantity, significant};

/// Amplitude in delta u'v' against frequency up to 2 kHz, both axes in decades, a stem a line, with one n-step as a ruler.
pub(in crate::report) fn chromatic(lines: &[Line]) -> String {
    let drawn = strongest(lines);
    let ends = [LOWEST_HZ, svm::LAST_HZ];
    let frequencies = drawn.iter().map(|line| line.frequency_hz);
    let x = Axis::over(
        Scale::Log,
        "frequency",
        frequencies.chain(ends),
        |frequency| quantity(frequency, "Hz"),
    );
    let amplitudes = drawn.iter().map(|line| line.amplitude);
    let y = Axis::over(
        Scale::Log,
        "amplitude in u\u{2032}v\u{2032}",
        amplitudes.chain([N_STEP]),
        |amplitude| significant(amplitude, 4),
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, NAMES), &x, &y);
        let ruler = Stroke::dashed(BLACK, 1.5);
        frame.line(ends.map(|frequency| (frequency, N_STEP)), ruler);
        drawn.iter().for_each(|line| stem(&frame, line));
        frame.keys(&[("one n-step", ruler)]);
    })
}

#[cfg(test)]
mod tests {
    use super::{Line, chromatic};

    #[test]
    fn every_line_has_its_stem_beside_the_ruler() {
        let line = |frequency_hz| Line {
            frequency_hz,
            amplitude: 0.002,
        };
        let strokes = |lines: &[Line]| chromatic(lines).matches("<polyline").count();
        let without = strokes(&[]);
        assert!(without > 0);
        assert_eq!(strokes(&[line(10.0), line(1_000.0)]), without + 2);
    }
}
