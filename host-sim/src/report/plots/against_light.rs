//! A figure of flicker against light, a line a recipe, with its limit.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::{ACCENT, Stroke};
use super::pen::{Pen, Side, drawing};
use super::{HEIGHT, WIDTH};
use crate::numbers::{quantity, significant};
use crate::report::Checked;
use crate::run::MetricRow;

/// What is drawn: a figure, in a unit, with the limit that it should stay below.
pub(in crate::report) struct AgainstLight {
    pub(in crate::report) title: &'static str,
    pub(in crate::report) unit: &'static str,
    pub(in crate::report) limit: f64,
    pub(in crate::report) of: fn(&MetricRow) -> f64,
}

/// A line a recipe.
pub(in crate::report) fn against_light(checked: &Checked, drawn: &AgainstLight) -> String {
    let maps = checked.observed.metric_maps.iter();
    let named: Vec<_> = maps
        .map(|map| {
            let name = &*checked.description.recipes[map.recipe].name;
            (name, &*map.rows)
        })
        .collect();
    named_lines(&named, drawn, HEIGHT)
}

/// A line a name, both axes in decades: a distance from the limit is a factor.
pub(super) fn named_lines(
    named: &[(&str, &[MetricRow])],
    drawn: &AgainstLight,
    height: f64,
) -> String {
    let rows = || named.iter().flat_map(|(_, rows)| *rows);
    let lights = rows().map(|row| row.light * 100.0);
    let x = Axis::over(Scale::Log, "light in % of full", lights, |light| {
        significant(light, 4)
    });
    let values = rows().map(drawn.of).chain([drawn.limit]);
    let y = Axis::over(Scale::Log, drawn.title, values, |value| {
        quantity(value, drawn.unit)
    });
    drawing(WIDTH, height, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, height, NAMES), &x, &y);
        limit_line(&frame, pen, drawn);
        let mut keys = Vec::new();
        for (i, (name, rows)) in named.iter().enumerate() {
            let stroke = Stroke::channel(i, named.len());
            let points = rows.iter();
            frame.line(
                points.map(|row| (row.light * 100.0, (drawn.of)(row))),
                stroke,
            );
            keys.push((*name, stroke));
        }
        frame.keys(&keys);
    })
}

fn limit_line(frame: &Frame, pen: &Pen, drawn: &AgainstLight) {
    frame.level(drawn.limit, Stroke::dashed(ACCENT, 1.5));
    let text = format!("limit {}", quantity(drawn.limit, drawn.unit));
    let height = frame.at((0.0, drawn.limit)).1;
    // Above the line lies nothing that passes, but the axis may end there.
    let beside = if height - 20.0 > frame.edges.top {
        -11.0
    } else {
        11.0
    };
    let at = (frame.edges.right - 4.0, height + beside);
    pen.text(&text, at, Side::Left, ACCENT);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn every_recipe_has_a_line_and_the_limit_is_drawn_and_named() {
        let checked = fixture::checked();
        let drawn = AgainstLight {
            title: "SVM",
            unit: "",
            limit: 0.4,
            of: |row| row.svm,
        };
        let svg = against_light(&checked, &drawn);
        for text in ["SVM", "limit 0.4", "evening", "stars", "light in % of full"] {
            assert!(svg.contains(text), "{text}");
        }
    }

    #[test]
    fn light_without_flicker_is_drawn_at_the_low_end() {
        let mut checked = fixture::checked();
        for map in &mut checked.observed.metric_maps {
            map.rows.iter_mut().for_each(|row| row.svm = 0.0);
        }
        let drawn = AgainstLight {
            title: "SVM",
            unit: "",
            limit: 0.4,
            of: |row| row.svm,
        };
        assert!(!against_light(&checked, &drawn).contains("NaN"));
    }
}
