//! Which limit of flicker a light breaks.

use milliglow::Level;

use super::super::rules::Rules;
use super::judge::figures;
use super::light::Light;
use super::map::row;
use crate::description::Description;
use crate::run::{MetricRow, core_curve};

/// The figures of a recipe at a Level.
pub(in crate::check) fn row_at(
    description: &Description,
    recipe: usize,
    level: Level,
) -> MetricRow {
    let light = core_curve(description.curve).light(level).as_f64();
    let lines = Light::new(description, recipe, level).lines();
    row(description, light, &lines)
}

/// The name of the first limit that figures break, PstLM by what the lines add up to.
pub(in crate::check) fn broken(rules: &Rules, row: &MetricRow) -> Option<&'static str> {
    let of_lines =
        figures(rules).map(|figure| (figure.rule.name, (figure.of)(row) > figure.rule.limit));
    let severity = (rules.pst_lm.name, row.slow_flicker > rules.pst_lm.limit);
    let mut all = of_lines.into_iter().chain([severity]);
    all.find(|(_, broken)| *broken).map(|(name, _)| name)
}
