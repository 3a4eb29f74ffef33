//! Shift of colour in the warm luminaire against light, with and without flux correction.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::{ACCENT, Stroke};
use super::pen::{Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::metrics::N_STEP;
use crate::numbers::significant;
use crate::report::Checked;
use crate::run::{Warmed, WarmedWhen};

/// What is smaller stands at the low end: a hundredth of an n-step.
const LEAST: f64 = 0.01 * N_STEP;

pub(in crate::report) fn warm_shift(checked: &Checked, is_corrected: bool) -> String {
    let recipes = &checked.observed.warmed;
    let value = |row: &Warmed, corrected: bool| row.given(corrected).shift.max(LEAST);
    let rows = || recipes.iter().flat_map(|recipe| &recipe.rows);
    let lights = rows().map(|row| row.light * 100.0);
    let x = Axis::over(Scale::Log, "light in % of full", lights, |light| {
        significant(light, 4)
    });
    let limit = checked.description.requirements.colour_shift;
    // Both drawings have one axis, so that they can be compared.
    let all = rows().flat_map(|row| [value(row, false), value(row, true)]);
    let y = Axis::over(
        Scale::Log,
        "shift in u′v′",
        all.chain([limit, LEAST]),
        |shift| significant(shift, 2),
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, NAMES), &x, &y);
        frame.level(limit, Stroke::dashed(ACCENT, 1.5));
        name_limit(&frame, pen, limit);
        let mut keys = Vec::new();
        for (i, recipe) in recipes.iter().enumerate() {
            let stroke = Stroke::channel(i, recipes.len());
            let settled = recipe
                .rows
                .iter()
                .filter(|row| row.when == WarmedWhen::Settled);
            frame.line(
                settled.map(|row| (row.light * 100.0, value(row, is_corrected))),
                stroke,
            );
            keys.push((&*checked.description.recipes[recipe.recipe].name, stroke));
        }
        frame.keys(&keys);
    })
}

fn name_limit(frame: &Frame, pen: &Pen, limit: f64) {
    let height = frame.at((0.0, limit)).1;
    let at = (frame.edges.right - 4.0, height - 11.0);
    let text = format!("limit {}", significant(limit, 3));
    pen.text(&text, at, Side::Left, ACCENT);
}
