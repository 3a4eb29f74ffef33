//! A figure of flicker against light, a line a way of dimming.

use super::HEIGHT;
use super::against_light::{AgainstLight, named_lines};
use crate::check::compare::{Compared, Comparison};
use crate::run::MetricRow;

/// Height of a drawing with a line a way.
const TALL: f64 = 1.25 * HEIGHT;
/// Room for names of 21 characters.
const NAMES: f64 = 240.0;

/// The first recipe under each way.
pub(in crate::report) fn ways(comparison: &Comparison, drawn: &AgainstLight) -> String {
    let ways = comparison.ways.iter();
    let named: Vec<_> = ways.map(|way| (&*way.name, first_recipe(way))).collect();
    named_lines(&named, drawn, (TALL, NAMES))
}

fn first_recipe(way: &Compared) -> &[MetricRow] {
    way.maps.first().map_or(&[], |map| &map.rows)
}
