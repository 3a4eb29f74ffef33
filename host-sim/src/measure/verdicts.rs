//! The figures against their limits.

use super::Options;
use super::segments::Judged;
use super::series::Series;
use crate::metrics::flicker::ieee1789::SEIZURE_LIMIT;
use crate::metrics::flicker::temporal_visibility::Model;
use crate::numbers::{quantity, significant};
use crate::verdict::{Bound, Rule, Verdict};

const REGULATION: &str = "Regulation (EU) 2019/2020 as amended, which asks it at full load";
const NO_EFFECT: &str =
    "IEEE 1789-2015 recommended practice 2, each line 1 Hz wide by itself: our reading";
const SEIZURE: &str = "IEEE 1789-2015 recommended practice 3";
const VISIBILITY: &str = "a published contrast sensitivity, which is no standard";

const fn rule(
    id: &'static str,
    name: &'static str,
    unit: &'static str,
    limit: f64,
    source: &'static str,
) -> Rule {
    Rule {
        id,
        name,
        unit,
        bound: Bound::AtMost,
        limit,
        source,
    }
}

const RULES: [Rule; 5] = [
    rule("svm", "SVM", "", 0.4, REGULATION),
    rule("pst_lm", "PstLM", "", 1.0, REGULATION),
    rule("ieee1789_no_effect", "no effect", "", 1.0, NO_EFFECT),
    rule("below_90_hz", "below 90 Hz", "1", SEIZURE_LIMIT, SEIZURE),
    rule("visibility", "visibility", "", 1.0, VISIBILITY),
];

pub(super) fn verdicts(series: &[Series], judged: &Judged, options: &Options) -> Vec<Verdict> {
    let of_rule = |rule: &Rule| {
        let series = series.iter().find(|series| series.id == rule.id)?;
        Some(verdict(rule, series, judged, options))
    };
    RULES.iter().filter_map(of_rule).collect()
}

fn verdict(rule: &Rule, series: &Series, judged: &Judged, options: &Options) -> Verdict {
    let reason = || {
        series
            .reason
            .clone()
            .unwrap_or_else(|| "no segment".to_owned())
    };
    let (Some(worst), Some((begin_s, end_s))) = (series.worst, series.worst_at_s) else {
        return rule.not_judged("the record", reason());
    };
    let at = format!("{} to {} s", significant(begin_s, 6), significant(end_s, 6));
    rule.judge(at, worst, words(series, begin_s, judged, options))
}

/// What the value says, over how many segments, and what was left out.
fn words(series: &Series, begin_s: f64, judged: &Judged, options: &Options) -> String {
    let mut words = meaning(series.id, begin_s, judged, options);
    if series.judged > 1 {
        let median = series.median.unwrap_or_default();
        words += &format!(
            " Worst of {} segments; median {}.",
            series.judged,
            quantity(median, series.unit)
        );
    }
    if let (true, Some(reason)) = (series.not_judged > 0, &series.reason) {
        words += &format!(" Segments not judged: {} ({reason}).", series.not_judged);
    }
    words
}

fn meaning(id: &str, begin_s: f64, judged: &Judged, options: &Options) -> String {
    let segment = judged
        .segments
        .iter()
        .find(|segment| segment.begin_s == begin_s);
    let figures = segment.and_then(|segment| segment.figures.as_ref());
    match (id, figures.and_then(|figures| figures.no_effect), options.luminance_cd_m2) {
        ("svm", _, _) => "1 is what an average observer just sees move.".to_owned(),
        ("pst_lm", _, _) => "Flicker severity by the light flickermeter.".to_owned(),
        ("ieee1789_no_effect", Some(worst), _) => format!(
            "Amplitude over limit of the worst line, {} at {}.",
            significant(worst.line.amplitude, 3),
            quantity(worst.line.frequency_hz, "Hz")
        ),
        ("ieee1789_no_effect", None, _) => "No line up to 3 kHz.".to_owned(),
        ("visibility", _, Some(luminance)) => {
            let model = Model::at(luminance);
            format!("Above 1 is seen, by {} at {luminance} cd/m2; it misses measurements by 0.05 to 0.8 of a decade.", model.name())
        }
        _ => "Swing of the light below 90 Hz over its mean: above the limit it may harm photosensitive people.".to_owned(),
    }
}

/// Frequency in Hz of the line that is worst by the no-effect practice.
pub(super) fn worst_line_hz(series: &[Series], judged: &Judged) -> Option<f64> {
    let series = series
        .iter()
        .find(|series| series.id == "ieee1789_no_effect")?;
    let (begin_s, _) = series.worst_at_s?;
    let segment = judged
        .segments
        .iter()
        .find(|segment| segment.begin_s == begin_s)?;
    Some(segment.figures.as_ref()?.no_effect?.line.frequency_hz)
}
