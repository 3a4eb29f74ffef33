//! The result of `measure` as one JSON document.

use serde_json::{Map, Value, json};

use crate::measure::{Compared, Measured, Series, Warning};
use crate::report::json::verdict;
use crate::report::{PROGRAM, VERSION};
use crate::verdict::Outcome;

/// The document, keys in this order; units in the keys, null for what was not judged. Of a record in segments each metric
/// is the worst one.
///
/// | key | holds |
/// |---|---|
/// | `schema_version` | 1; raised when a key changes its meaning or goes |
/// | `tool` | `name` and `version` of the program |
/// | `input` | `origin`, the file |
/// | `record` | `seconds`, `samples`, `rate_hz`, `band_hz`, `gaps`, `dark_level` (what was taken from every value), `judged_rate_hz` and `judged_band_hz` (of what the metrics saw) |
/// | `warnings` | array of `kind` (`clipping`, `missing_dc`, `coarse_quantisation`, `non_uniform_times`, `gaps`, `short_record`) and `message` |
/// | `mean`, `modulation_percent`, `raw_modulation_percent`, `flicker_index`, `dominant_frequency_hz`, `svm`, `pst_lm` | the light's mean in the file's unit, and the metrics |
/// | `ieee1789` | `low_risk`, `no_effect` (booleans), `worst_frequency_hz`, `worst_margin` (amplitude over the no-effect limit) |
/// | `segments` | for each metric `worst`, `median`, `worst_at_s` (begin and end), `judged`, `not_judged`, `unit`, `band` (and resolution, in words), `reason` |
/// | `verdicts` | as in the document of `check` |
/// | `summary` | numbers of verdicts: `passed`, `failed`, `not_judged` |
/// | `against` | array of `id`, `at`, `measured`, `simulated`, `unit` |
#[must_use]
pub fn json(measured: &Measured, compared: &[Compared]) -> Value {
    let worst = |id| measured.series(id).and_then(|series| series.worst);
    let lit = (!measured.survey.lacks_dc).then_some(measured.survey.mean);
    json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": measured.origin },
        "record": record(measured),
        "warnings": measured.warnings.iter().map(warning).collect::<Vec<_>>(),
        "mean": lit,
        "modulation_percent": worst("modulation_percent"),
        "raw_modulation_percent": lit.and_then(|_| measured.survey.raw_modulation_percent()),
        "flicker_index": worst("flicker_index"),
        "dominant_frequency_hz": worst("dominant_frequency_hz"),
        "svm": worst("svm"),
        "pst_lm": worst("pst_lm"),
        "ieee1789": ieee1789(measured),
        "segments": measured.series.iter().map(|one| (one.id.to_owned(), series(one))).collect::<Map<_, _>>(),
        "verdicts": measured.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "summary": {
            "passed": measured.count(Outcome::Pass),
            "failed": measured.count(Outcome::Fail),
            "not_judged": measured.count(Outcome::NotJudged),
        },
        "against": compared.iter().map(beside).collect::<Vec<_>>(),
    })
}

fn record(measured: &Measured) -> Value {
    json!({
        "seconds": measured.survey.seconds(measured.rate_hz),
        "samples": measured.survey.samples,
        "rate_hz": measured.rate_hz,
        "band_hz": measured.band_hz,
        "gaps": measured.survey.stretches.len().saturating_sub(1),
        "dark_level": measured.dark_level,
        "judged_rate_hz": measured.judged_at.0,
        "judged_band_hz": measured.judged_at.1,
    })
}

fn warning(warning: &Warning) -> Value {
    json!({ "kind": warning.kind.id(), "message": warning.message })
}

fn ieee1789(measured: &Measured) -> Value {
    let margin = |id| measured.series(id).and_then(|series| series.worst);
    let no_effect = margin("ieee1789_no_effect");
    json!({
        "low_risk": margin("ieee1789_low_risk").map(|margin| margin <= 1.0),
        "no_effect": no_effect.map(|margin| margin <= 1.0),
        "worst_frequency_hz": no_effect.and(measured.worst_line_hz),
        "worst_margin": no_effect,
    })
}

fn series(series: &Series) -> Value {
    json!({
        "worst": series.worst,
        "median": series.median,
        "worst_at_s": series.worst_at_s.map(|(begin, end)| [begin, end]),
        "judged": series.judged,
        "not_judged": series.not_judged,
        "unit": series.unit,
        "band": series.band,
        "reason": series.reason,
    })
}

fn beside(compared: &Compared) -> Value {
    json!({
        "id": compared.id,
        "at": compared.at,
        "measured": compared.measured,
        "simulated": compared.simulated,
        "unit": compared.unit,
    })
}
