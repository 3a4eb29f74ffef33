//! The result of `check` as one JSON document.

mod colours;
mod lights;

use serde_json::{Map, Value, json};

use super::bands::BANDS;
use super::parameters::parameters;
use super::{Checked, PROGRAM, VERSION, order};
use crate::verdict::{Bound, Outcome, Verdict};

/// The document, keys in this order:
///
/// | key | holds |
/// |---|---|
/// | `schema_version` | 1; raised when a key changes its meaning or goes |
/// | `tool` | `name` and `version` of the program |
/// | `input` | `origin` (file name or `built in`) and `sha256` of the luminaire |
/// | `parameters` | every effective parameter, defaults included; keys as in [`Description`](crate::description::Description), units in the keys, fractions otherwise |
/// | `verdicts` | array, in the order of judging, see below |
/// | `lights` | array of the light metrics, one object per recipe and test light that is lit, see below |
/// | `cameras` | array, one object per camera, recipe and light, see below |
/// | `colours` | array, one object per recipe, see below |
/// | `white_fades` | array, one object per fade of the script from one white to another: `fade` (its number, from 1), `recipe` it goes to, and `from`, `to` and `worst` (the white on its way that is farthest from the Planckian locus, null where some of the way is no white), each `cct_k` and `duv` |
/// | `bands` | band and resolution of each light metric, in words; the figures at the test lights hold within them |
/// | `summary` | numbers of verdicts: `passed`, `failed`, `not_judged` |
///
/// A verdict:
///
/// | key | holds |
/// |---|---|
/// | `id` | stable identifier of the metric |
/// | `name` | its name for people |
/// | `at` | recipe and light, the worst light found, or a fade |
/// | `value` | the figure in `unit`, or null when it was not judged |
/// | `limit`, `unit` | the limit and the unit of both; `1` for a ratio or a count |
/// | `bound` | `at_most` or `at_least` |
/// | `margin` | how far inside its limit the value stays, as a fraction of the limit; null for a limit of 0 or without a value |
/// | `outcome` | `pass`, `fail` or `not_judged` |
/// | `source` | who asks for the limit |
/// | `reason` | what the value says, or why there is none |
/// | `remedy` | what would mend a failure, or null |
///
/// A light:
///
/// | key | holds |
/// |---|---|
/// | `recipe`, `light` | which recipe, and the light asked for |
/// | `mean` | mean flux in lm |
/// | `modulation_percent`, `flicker_index` | of the light limited to 20 kHz |
/// | `raw` | `modulation_percent` and `flicker_index` of the light as the ticks give it |
/// | `filtered_modulation_percent` | percent flicker below each cut-off, keyed by the cut-off in Hz: `40`, `90`, `200`, `400`, `1000` |
/// | `svm` | SVM |
/// | `pst_lm` | PstLM |
/// | `dominant_frequency_hz` | the strongest line, or null |
/// | `ieee1789` | `low_risk`, `no_effect`: whether every line keeps the limit; `worst_frequency_hz`, `worst_margin`: the line nearest to or farthest beyond the no-effect limit, which is the lower one, and its amplitude over that limit; null if no line has a limit |
/// | `below_90_hz` | modulation below 90 Hz that the lines can add up to at most |
/// | `visibility`, `visibility_bound` | temporal visibility by the model that suits the luminance, and by a sensitivity of 500; 1 is just seen |
/// | `phantom_array_margin` | amplitude over the nearest published threshold, or null; information, never judged |
/// | `chromatic_flicker` | strongest swing of the chromaticity up to 2 kHz, `frequency_hz` and amplitude `delta_uv`, or null; information |
///
/// Of these `svm`, `ieee1789`, `below_90_hz` and `visibility` are the worst of the tick rate's tolerance; the others hold
/// at the nominal rate.
///
/// A camera:
///
/// | key | holds |
/// |---|---|
/// | `camera`, `recipe`, `light` | which camera, recipe and light |
/// | `contrast`, `limit` | worst Michelson contrast of the rows, and what the camera's entry allows |
/// | `exposure_s` | the exposure within its tolerance that shows it |
/// | `frame_flicker` | Michelson contrast of whole frames, one after the other |
///
/// A colour:
///
/// | key | holds |
/// |---|---|
/// | `recipe`, `follows_level` | which recipe, and whether its colour is a function of Level |
/// | `passes_n_step_at_light` | the highest light at which a lit Level is more than one n-step (0.0011 in delta u'v') off, by the densities and the drivers' edges, or null |
/// | `test_lights` | array of `light`, `delta_uv_densities` and `delta_uv_streams` (as the streams ran; null in the dark): from the colour at full, or from what a recipe that follows the Level asks for there |
///
/// JSON has no NaN: a value that is not finite is null.
#[must_use]
pub fn json(checked: &Checked) -> Value {
    json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": checked.origin, "sha256": checked.input_digest },
        "parameters": parameters(&checked.description),
        "verdicts": checked.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "lights": lights::lights(checked),
        "cameras": lights::cameras(checked),
        "colours": colours::colours(checked),
        "white_fades": colours::white_fades(checked),
        "bands": bands(),
        "summary": {
            "passed": checked.count(Outcome::Pass),
            "failed": checked.count(Outcome::Fail),
            "not_judged": checked.count(Outcome::NotJudged),
        },
    })
}

fn bands() -> Map<String, Value> {
    let bands = BANDS.iter();
    bands
        .map(|(key, _, band)| ((*key).to_owned(), Value::from(*band)))
        .collect()
}

pub(super) fn verdict(verdict: &Verdict) -> Value {
    json!({
        "id": verdict.id,
        "name": verdict.name,
        "at": verdict.at,
        "value": verdict.value,
        "limit": verdict.limit,
        "unit": verdict.unit,
        "bound": bound(verdict.bound),
        "margin": order::margin(verdict),
        "outcome": outcome(verdict.outcome),
        "source": verdict.source,
        "reason": verdict.reason,
        "remedy": verdict.remedy,
    })
}

pub(super) fn bound(bound: Bound) -> &'static str {
    match bound {
        Bound::AtMost => "at_most",
        Bound::AtLeast => "at_least",
    }
}

pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Fail => "fail",
        Outcome::NotJudged => "not_judged",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    fn keys(value: &Value) -> Vec<&str> {
        value
            .as_object()
            .unwrap()
            .keys()
            .map(String::as_str)
            .collect()
    }

    #[test]
    fn the_documented_keys_are_there() {
        let document = json(&fixture::checked());
        let top = [
            "schema_version",
            "tool",
            "input",
            "parameters",
            "verdicts",
            "lights",
            "cameras",
            "colours",
            "white_fades",
            "bands",
            "summary",
        ];
        assert_eq!(keys(&document), top);
        let verdict = [
            "id", "name", "at", "value", "limit", "unit", "bound", "margin", "outcome", "source",
            "reason", "remedy",
        ];
        assert_eq!(keys(&document["verdicts"][0]), verdict);
        assert_eq!(
            keys(&document["summary"]),
            ["passed", "failed", "not_judged"]
        );
    }

    #[test]
    fn the_summary_counts_every_verdict_and_a_missing_value_is_null() {
        let mut checked = fixture::failing();
        checked.verdicts[0].value = Some(f64::NAN);
        let document = json(&checked);
        let count = |key: &str| document["summary"][key].as_u64().unwrap();
        assert_eq!(
            count("passed") + count("failed") + count("not_judged"),
            checked.verdicts.len() as u64
        );
        assert_eq!(count("failed"), 2);
        assert!(document["verdicts"][0]["value"].is_null());
        assert!(!document.to_string().contains("NaN"));
    }

    #[test]
    fn a_margin_is_a_fraction_of_the_limit() {
        let mut checked = fixture::checked();
        (checked.verdicts[0].value, checked.verdicts[0].limit) = (Some(0.3), 0.4);
        let margin = json(&checked)["verdicts"][0]["margin"].as_f64().unwrap();
        assert!((margin - 0.25).abs() < 1e-12, "{margin}");
    }

    #[test]
    fn every_band_is_stated() {
        let bands = &json(&fixture::checked())["bands"];
        assert_eq!(bands.as_object().unwrap().len(), BANDS.len());
        assert!(bands["svm"].as_str().unwrap().contains("2000 Hz"));
    }

    #[test]
    fn parameters_hold_defaults_and_names() {
        let parameters = &json(&fixture::checked())["parameters"];
        assert_eq!(parameters["requirements"]["pulse_hz"], 90.0);
        assert_eq!(parameters["script"][0]["recipe"], "evening");
        assert_eq!(
            parameters["channels"][4]["modulation"]["kind"],
            "first_order"
        );
    }
}
