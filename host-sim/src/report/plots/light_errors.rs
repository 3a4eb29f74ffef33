//! Light against the light asked for, with the light of edges given back and without.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::metrics::relative_error;
use crate::numbers::{percent, significant};
use crate::report::Checked;
use crate::run::{HeldChannel, Hold, LightErrors};

/// Room at the right for the keys.
const KEYS: f64 = 190.0;

/// What is less is no error to speak of, and stands at the axis.
const LOWEST: f64 = 1e-5;

/// Relative error of the worst channel over the light, both axes in decades; dots are counted at the test lights.
pub(in crate::report) fn light_errors(checked: &Checked, errors: &LightErrors) -> String {
    let limit = checked.description.requirements.average_error;
    let lights = errors.rows.iter().map(|row| row.0 * 100.0);
    let x = Axis::over(Scale::Log, "light in % of full", lights, |light| {
        significant(light, 4)
    });
    let both = errors.rows.iter().map(|row| row.1);
    let values = both.flat_map(|error| [error.corrected, error.uncorrected]);
    let values = values.map(|error| error.max(LOWEST));
    let y = Axis::over(
        Scale::Log,
        "relative error of the worst channel",
        values.chain([limit]),
        percent,
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, KEYS), &x, &y);
        let strokes = [Stroke::dashed(BLACK, 1.75), Stroke::solid(ACCENT, 2.2)];
        let points = errors.rows.iter().map(|row| (row.0 * 100.0, row.1));
        frame.line(
            points
                .clone()
                .map(|(light, error)| (light, error.uncorrected)),
            strokes[0],
        );
        frame.line(
            points.map(|(light, error)| (light, error.corrected)),
            strokes[1],
        );
        counted(&frame, pen, checked, errors.recipe);
        limit_line(&frame, pen, limit);
        frame.keys(&[("not given back", strokes[0]), ("given back", strokes[1])]);
    })
}

fn counted(frame: &Frame, pen: &Pen, checked: &Checked, recipe: usize) {
    let holds = checked.observed.holds.iter();
    for hold in holds.filter(|hold| hold.recipe == recipe) {
        pen.dot(frame.at((hold.light * 100.0, worst(hold))), 3.0, BLACK);
    }
}

fn worst(hold: &Hold) -> f64 {
    let lit = hold.channels.iter().filter(|held| held.target > 0.0);
    let error = |held: &HeldChannel| relative_error(held.light, held.target);
    lit.map(error).fold(0.0, f64::max)
}

fn limit_line(frame: &Frame, pen: &Pen, limit: f64) {
    frame.level(limit, Stroke::dashed(GREY, 1.25));
    let height = frame.at((0.0, limit)).1 - 11.0;
    let text = format!("limit {}", percent(limit));
    pen.text(&text, (frame.edges.right - 4.0, height), Side::Left, GREY);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn both_ways_and_the_counted_lights_are_drawn() {
        let checked = fixture::checked();
        let svg = light_errors(&checked, &checked.observed.light_errors[0]);
        assert_eq!(svg.matches("<circle").count(), 5, "test lights");
        for text in ["given back", "not given back", "limit 0.1 %"] {
            assert!(svg.contains(text), "{text}");
        }
        assert!(!svg.contains("NaN"));
    }
}
