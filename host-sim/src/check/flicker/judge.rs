//! Verdicts on the flicker of steady light.

use rayon::prelude::*;

use super::super::rules::Rules;
use super::super::words::place;
use super::light::Light;
use super::remedy::pulse_remedy;
use super::severity;
use crate::description::{Description, LevelChoice, Modulation};
use crate::numbers::{quantity, significant};
use crate::run::{Flicker, MetricMap, MetricRow, level};
use crate::verdict::{Rule, Verdict};

/// A figure of flicker that has a limit: its rule, and how a row of a map gives it.
pub(super) struct Figure<'a> {
    pub(super) rule: &'a Rule,
    pub(super) of: fn(&MetricRow) -> f64,
    reason: &'static str,
}

pub(in crate::check) fn judge(
    description: &Description,
    flicker: &[Flicker],
    maps: &[MetricMap],
) -> Vec<Verdict> {
    let rules = Rules::of(description);
    let mut verdicts: Vec<_> = flicker
        .iter()
        .flat_map(|at| held(description, &rules, at))
        .collect();
    for figure in figures(&rules) {
        verdicts.extend(worst(description, &figure, maps));
    }
    verdicts.extend(worst_severity(description, &rules.pst_lm, maps));
    verdicts
}

pub(super) fn figures(rules: &Rules) -> [Figure<'_>; 5] {
    [
        Figure {
            rule: &rules.svm,
            of: |row| row.svm,
            reason: "lines up to 2 kHz, IEC TR 63158 curve",
        },
        Figure {
            rule: &rules.low_risk,
            of: |row| row.low_risk,
            reason: "worst line 1 Hz wide over its limit",
        },
        Figure {
            rule: &rules.no_effect,
            of: |row| row.no_effect,
            reason: "worst line 1 Hz wide over its limit",
        },
        Figure {
            rule: &rules.seizure,
            of: |row| row.below_90_hz,
            reason: "all lines below 90 Hz added up",
        },
        Figure {
            rule: &rules.visibility,
            of: |row| row.visibility,
            reason: "all lines by temporal contrast sensitivity",
        },
    ]
}

/// The row of a hold. Limits at dimmed light are our own stricter requirement: the regulation looks at full load.
fn held(description: &Description, rules: &Rules, at: &Flicker) -> Vec<Verdict> {
    let row = MetricRow {
        light: at.light,
        svm: at.svm,
        low_risk: at.low_risk.map_or(0.0, |worst| worst.margin),
        no_effect: at.no_effect.map_or(0.0, |worst| worst.margin),
        below_90_hz: at.below_90_hz,
        visibility: at.visibility,
        slow_flicker: at.pst_lm,
    };
    let of_lines = figures(rules).map(|figure| {
        let reason = reason(&figure, at);
        figure.judge(description, at.recipe, &row, reason)
    });
    let full = at.light >= 1.0;
    let severity = severity(description, labelled(&rules.pst_lm, full), at);
    of_lines
        .into_iter()
        .map(|verdict| relabelled(verdict, rules, full))
        .chain([severity])
        .collect()
}

fn severity(description: &Description, rule: Rule, at: &Flicker) -> Verdict {
    let seconds = significant(at.pst_lm_s, 3);
    let reason = format!(
        "{seconds} s of light; largest Pinst {}",
        significant(at.pinst_max, 3)
    );
    let verdict = rule.judge(place(description, at.recipe, at.light), at.pst_lm, reason);
    verdict.mended_by(|| first_order_remedy(description))
}

/// Lights of all maps that the meter looks at.
const METERED: usize = 3;

/// PstLM at the lights whose lines add up to most: reading it at every light would take minutes.
fn worst_severity(description: &Description, rule: &Rule, maps: &[MetricMap]) -> Option<Verdict> {
    let rows = maps
        .iter()
        .flat_map(|map| map.rows.iter().map(move |row| (map.recipe, row)));
    let mut rows: Vec<_> = rows.collect();
    rows.sort_by(|a, b| b.1.slow_flicker.total_cmp(&a.1.slow_flicker));
    rows.truncate(METERED);
    let metered = rows.into_par_iter().filter_map(|(recipe, row)| {
        let level = level(description, LevelChoice::Light(row.light));
        let light = Light::new(description, recipe, level);
        let severity = severity::severity(&light, description.tick_hz)?;
        Some((recipe, row.light, severity))
    });
    let (recipe, light, found) = metered.max_by(|a, b| a.2.pst_lm.total_cmp(&b.2.pst_lm))?;
    let reason = format!(
        "{} s of light, where its slow lines weigh most",
        significant(found.judged_seconds, 3)
    );
    let at = place(description, recipe, light);
    let verdict = labelled(rule, light >= 1.0).judge(at, found.pst_lm, reason);
    Some(
        verdict
            .mended_by(|| first_order_remedy(description))
            .worst(),
    )
}

/// A first-order stream has no slow lines to speak of; the others have noise there.
pub(super) fn first_order_remedy(description: &Description) -> Option<String> {
    let others = description
        .channels
        .iter()
        .filter(|channel| channel.modulation != Modulation::FirstOrder);
    let names: Vec<_> = others.map(|channel| channel.name.as_str()).collect();
    (!names.is_empty()).then(|| format!("use order = 1 and no dither for {}", names.join(" and ")))
}

impl Figure<'_> {
    fn judge(
        &self,
        description: &Description,
        recipe: usize,
        row: &MetricRow,
        reason: String,
    ) -> Verdict {
        let verdict = self.rule.judge(
            place(description, recipe, row.light),
            (self.of)(row),
            reason,
        );
        verdict.mended_by(|| {
            Some(pulse_remedy(
                description,
                recipe,
                row.light,
                self.of,
                self.rule.limit,
            ))
        })
    }
}

fn reason(figure: &Figure, at: &Flicker) -> String {
    let worst = match figure.rule.id {
        "ieee1789_low_risk" => at.low_risk,
        "ieee1789_no_effect" => at.no_effect,
        _ => None,
    };
    match (worst, at.dominant_hz) {
        (Some(worst), _) => format!("worst line at {}", quantity(worst.frequency_hz, "Hz")),
        (None, Some(hertz)) => format!(
            "{}; strongest of all at {}",
            figure.reason,
            quantity(hertz, "Hz")
        ),
        (None, None) => "no line up to 20 kHz".to_owned(),
    }
}

/// At full load the limits of SVM and PstLM are the regulation's.
fn labelled(rule: &Rule, full: bool) -> Rule {
    let source = if full {
        rule.source
    } else {
        super::super::rules::OUR_STRICTER
    };
    Rule { source, ..*rule }
}

fn relabelled(verdict: Verdict, rules: &Rules, full: bool) -> Verdict {
    let source = if verdict.id == rules.svm.id {
        labelled(&rules.svm, full).source
    } else {
        verdict.source
    };
    Verdict { source, ..verdict }
}

fn worst(description: &Description, figure: &Figure, maps: &[MetricMap]) -> Option<Verdict> {
    let rows = maps
        .iter()
        .flat_map(|map| map.rows.iter().map(move |row| (map.recipe, row)));
    let (recipe, row) = rows.max_by(|a, b| (figure.of)(a.1).total_cmp(&(figure.of)(b.1)))?;
    Some(
        figure
            .judge(description, recipe, row, figure.reason.to_owned())
            .worst(),
    )
}
