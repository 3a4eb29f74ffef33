//! Light through the script: asked for, and counted from the streams.

use std::collections::HashSet;

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{CHARACTER, Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::numbers::significant;
use crate::report::Checked;

/// Fades beyond this many would be a hatching.
const MARKED_FADES: usize = 24;

pub(in crate::report) fn script_light(checked: &Checked, scale: Scale) -> String {
    let script = &checked.observed.script;
    let x = time_axis(checked);
    let asked = script.iter().map(|moment| moment.asked_flux_lm);
    let counted = script.iter().map(|moment| moment.flux_lm);
    let y = Axis::over(scale, "flux in lm", asked.chain(counted), |flux| {
        significant(flux, 4)
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, below_names(Edges::within(WIDTH, HEIGHT, 24.0)), &x, &y);
        fades(&frame, pen, checked);
        let mut seen = HashSet::new();
        for moment in script {
            let at = frame.at((moment.time_s, moment.flux_lm));
            if seen.insert((at.0.round() as i64, at.1.round() as i64)) {
                pen.dot(at, 1.75, ACCENT);
            }
        }
        let asked = script
            .iter()
            .map(|moment| (moment.time_s, moment.asked_flux_lm));
        frame.line(asked, Stroke::solid(BLACK, 1.25));
        legend(pen);
    })
}

/// Time of the script.
pub(super) fn time_axis(checked: &Checked) -> Axis {
    Axis::time(
        checked
            .observed
            .script
            .last()
            .map_or(1.0, |moment| moment.time_s),
    )
}

/// Room above the frame for the names of the fades.
pub(super) fn below_names(edges: Edges) -> Edges {
    Edges {
        top: edges.top + 16.0,
        ..edges
    }
}

/// Marks where each fade begins, with the recipe that it goes to above the frame where there is room.
pub(super) fn fades(frame: &Frame, pen: &Pen, checked: &Checked) {
    let fades = &checked.observed.fades;
    if fades.len() > MARKED_FADES {
        return;
    }
    for fade in fades {
        frame.plumb(fade.begin_s, Stroke::dashed(GREY, 0.75));
        let (from, to) = (
            frame.at((fade.begin_s, 0.0)).0,
            frame.at((fade.end_s, 0.0)).0,
        );
        // A bus makes recipes of its own.
        let recipe = checked.description.recipes.get(fade.recipe);
        let name = recipe.map_or("", |recipe| recipe.name.as_str());
        if name.chars().count() as f64 * CHARACTER < to - from - 4.0 {
            pen.text(name, (from, frame.edges.top - 10.0), Side::Right, GREY);
        }
    }
}

/// Above the frame, at its right end.
fn legend(pen: &Pen) {
    let height = 12.0;
    pen.line(
        &[(300.0, height), (330.0, height)],
        Stroke::solid(BLACK, 1.25),
    );
    pen.text("asked for", (336.0, height), Side::Right, BLACK);
    for i in 0..4 {
        pen.dot((430.0 + 7.0 * f64::from(i), height), 1.75, ACCENT);
    }
    pen.text("counted", (460.0, height), Side::Right, ACCENT);
}
