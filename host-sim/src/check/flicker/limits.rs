//! Which limit of flicker a light breaks.

use super::super::rules::Rules;
use super::judge::figures;
use crate::run::MetricRow;

/// The name of the first limit that figures break, PstLM by what the lines add up to.
pub(in crate::check) fn broken(rules: &Rules, row: &MetricRow) -> Option<&'static str> {
    let of_lines =
        figures(rules).map(|figure| (figure.rule.name, (figure.of)(row) > figure.rule.limit));
    let severity = (rules.pst_lm.name, row.slow_flicker > rules.pst_lm.limit);
    let mut all = of_lines.into_iter().chain([severity]);
    all.find(|(_, broken)| *broken).map(|(name, _)| name)
}
