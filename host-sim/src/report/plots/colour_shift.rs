//! How far the colour of each recipe is off, and the whites that it goes through, against light.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::{ACCENT, Stroke};
use super::pen::{Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::colour::N_STEP;
use crate::numbers::significant;
use crate::report::Checked;
use crate::run::Dimming;

/// The lowest delta u'v' that is drawn; less stands there.
const LOWEST: f64 = 1e-8;

/// Both axes in decades, a line a recipe, and one n-step as a ruler.
pub(in crate::report) fn colour_shift(checked: &Checked) -> String {
    let all = &checked.observed.dimming;
    let shifts = all.iter().flat_map(|dimming| &dimming.rows);
    let shifts = shifts.map(|row| row.1.max(LOWEST)).chain([N_STEP]);
    let y = Axis::over(Scale::Log, "delta u′v′", shifts, |shift| {
        significant(shift, 2)
    });
    let x = light_axis(all);
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, NAMES), &x, &y);
        frame.level(N_STEP, Stroke::dashed(ACCENT, 1.5));
        let height = frame.at((0.0, N_STEP)).1;
        let at = (frame.edges.right - 4.0, height + 11.0);
        pen.text("one n-step", at, Side::Left, ACCENT);
        recipes(&frame, checked, |dimming| &dimming.rows);
    })
}

/// CCT of the recipes that follow the Level, against light.
pub(in crate::report) fn warming(checked: &Checked) -> String {
    let all = &checked.observed.dimming;
    let following = all.iter().filter(|dimming| follows(checked, dimming));
    let ccts = following.flat_map(|dimming| &dimming.whites);
    let y = Axis::over(Scale::Linear, "CCT in K", ccts.map(|row| row.1), |cct| {
        significant(cct, 5)
    });
    let x = light_axis(all);
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, NAMES), &x, &y);
        recipes(&frame, checked, |dimming| {
            if follows(checked, dimming) {
                &dimming.whites
            } else {
                &[]
            }
        });
    })
}

/// Whether a recipe changes its colour with the Level.
pub(in crate::report) fn follows(checked: &Checked, dimming: &Dimming) -> bool {
    checked.description.recipes[dimming.recipe].follows_level()
}

fn light_axis(all: &[Dimming]) -> Axis {
    let rows = all.iter().flat_map(|dimming| &dimming.rows);
    let lights = rows.map(|row| row.0 * 100.0);
    Axis::over(Scale::Log, "light in % of full", lights, |light| {
        significant(light, 4)
    })
}

/// A line a recipe that has rows, and its name.
fn recipes<'a>(
    frame: &Frame,
    checked: &'a Checked,
    rows: impl Fn(&'a Dimming) -> &'a [(f64, f64)],
) {
    let all = &checked.observed.dimming;
    let mut keys = Vec::new();
    for (i, dimming) in all.iter().enumerate() {
        let (rows, stroke) = (rows(dimming), Stroke::channel(i, all.len()));
        if !rows.is_empty() {
            let points = rows.iter().map(|&(light, value)| (light * 100.0, value));
            frame.line(points, stroke);
            keys.push((&*checked.description.recipes[dimming.recipe].name, stroke));
        }
    }
    frame.keys(&keys);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::Knot;
    use crate::report::fixture;

    #[test]
    fn every_recipe_has_a_line_and_one_n_step_is_the_ruler() {
        let svg = colour_shift(&fixture::checked());
        for text in ["one n-step", "evening", "stars", "light in % of full"] {
            assert!(svg.contains(text), "{text}");
        }
    }

    #[test]
    fn only_recipes_that_follow_the_level_warm() {
        let mut checked = fixture::checked();
        for dimming in &mut checked.observed.dimming {
            dimming.whites = vec![(0.001, 1_800.0), (1.0, 2_700.0)];
        }
        let knot = |level| Knot {
            level,
            shares: vec![1.0; 5],
        };
        checked.description.recipes[1].knots = vec![knot(0), knot(65_535)];
        let svg = warming(&checked);
        assert!(svg.contains("CCT in K") && svg.contains("stars") && !svg.contains("evening"));
    }
}
