//! A figure of flicker against light, a line a way of dimming.

use super::against_light::{AgainstLight, limit_line};
use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::Stroke;
use super::pen::drawing;
use super::{HEIGHT, WIDTH};
use crate::check::compare::{Compared, Comparison};
use crate::numbers::{quantity, significant};
use crate::run::MetricRow;

/// Height of a drawing with a line a way.
const TALL: f64 = 1.25 * HEIGHT;

/// The first recipe under each way, both axes in decades.
pub(in crate::report) fn ways(comparison: &Comparison, drawn: &AgainstLight) -> String {
    let rows = || comparison.ways.iter().flat_map(first_recipe);
    let lights = rows().map(|row| row.light * 100.0);
    let x = Axis::over(Scale::Log, "light in % of full", lights, |light| {
        significant(light, 4)
    });
    let values = rows().map(drawn.of).chain([drawn.limit]);
    let y = Axis::over(Scale::Log, drawn.title, values, |value| {
        quantity(value, drawn.unit)
    });
    drawing(WIDTH, TALL, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, TALL, NAMES), &x, &y);
        limit_line(&frame, pen, drawn);
        let mut keys = Vec::new();
        for (i, way) in comparison.ways.iter().enumerate() {
            let stroke = Stroke::channel(i, comparison.ways.len());
            let points = first_recipe(way).iter();
            frame.line(
                points.map(|row| (row.light * 100.0, (drawn.of)(row))),
                stroke,
            );
            keys.push((&*way.name, stroke));
        }
        frame.keys(&keys);
    })
}

fn first_recipe(way: &Compared) -> &[MetricRow] {
    way.maps.first().map_or(&[], |map| &map.rows)
}
