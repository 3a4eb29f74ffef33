//! The result of `check` as one JSON document.

mod bus;
mod chip;
mod colours;
mod comparison;
mod drivers;
mod lights;
mod spread;
mod warm;

use serde_json::{Map, Value, json};

use super::bands::BANDS;
use super::buck_designs::buck_designs;
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
/// | `drivers` | array, one object per recipe and test light, see below; information |
/// | `buck_designs` | array, one object per channel with a buck converter, see below; information |
/// | `warm` | the recipes in the warm luminaire, and power, see below |
/// | `chip` | what the luminaire takes of the chip that the file describes, or null, see below |
/// | `colours` | array, one object per recipe, see below |
/// | `white_fades` | array, one object per fade from one white to another, of the script or asked for on a bus by frames: `fade` (its number, from 1), `begin_s`, `recipe` it goes to, how many recipes it goes `through`, and `from`, `to`, `worst` (the white on its way that is farthest from the Planckian locus, null where some of the way is no white) and `worst_straight` (the same of a straight way), each `cct_k` and `duv` |
/// | `bands` | band and resolution of each light metric, in words; the figures at the test lights hold within them |
/// | `summary` | numbers of verdicts: `passed`, `failed`, `not_judged` |
/// | `spread` | only where asked for: what most units of a series hold, see below |
/// | `comparison` | only where asked for: ways of dimming side by side, see below |
/// | `bus` | only for a luminaire on a bus: what was heard, see below |
/// | `faults` | only where asked for: what came of injected faults, see below |
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
/// Drivers at a light:
///
/// | key | holds |
/// |---|---|
/// | `recipe`, `light` | which recipe, and the light asked for |
/// | `channels` | one object a channel: its name `channel`, the number of its `row` and that row's `range_ratio` and `stretch` (ticks a decision); `edges_hz`, rising and falling edges of its stream a second; `shortest_pulse_s`, null if it is dark or an unbroken 1; `light_error` and `light_error_uncorrected`, relative error of its mean light with the light of edges given back and without, null if it is dark |
/// | `supply` | what all drivers draw, over all channels at full, which count by their `power_w`, or the same where one has none: `spread` as the channels' phases are spread, `together` as if all pulsed on one tick; each with `peak`, `modulation` ((highest - lowest) / (highest + lowest) of the ticks), `ripple` (RMS over the mean) and `strongest_line` from 20 Hz to 20 kHz (`frequency_hz`, `amplitude` over the mean) or null |
///
/// A buck's design, on a supply that stands still:
///
/// | key | holds |
/// |---|---|
/// | `channel` | its name |
/// | `mean_a`, `peak_a`, `ripple_a` | of an unbroken 1: mean current of the string, highest of the inductor, highest less lowest |
/// | `frequency_hz`, `on_time_s`, `closed`, `continuous` | cycles a second; the switch closed in each, in seconds and as a part of the time; whether the inductor's current never runs out |
/// | `rise_s`, `fall_s`, `shortest_on_time_s` | from no current to the peak and back; the shortest pulse that reaches the peak |
/// | `line_sensitivity` | relative change of the mean over that of the supply |
/// | `mean_spread` | `least` and `most` mean over the nominal one for tolerances of `supply` and `delay`, either way |
/// | `off_times` | off-times for other ripples and frequencies: `off_time_s`, and the `ripple_a`, `frequency_hz` and `mean_a` that come of it |
///
/// Spread has `units` (drawn), `part` (of them that holds the figures) and `places`, each with `recipe`, `light`, `change` (null,
/// or `channel`, `row` and `from`: below or above), and with `design_values` and `own_values` in the firmware:
///
/// | key | holds |
/// |---|---|
/// | `flux_error` | flux against the design's, relative |
/// | `light_error` | light over the unit's own full light against the curve, relative |
/// | `colour_error_uv`, `colour_shift_uv` | distance from the design's colour, and from the unit's own at full, delta u'v' |
/// | `light_step`, `colour_step_uv` | across a change of row: step of light beyond the curve's, relative; step of colour, delta u'v' |
///
/// Comparison has `ways`, each with `name`, `exact_lines`, `worst` (`value` and `light` of each figure) and `lights` (`recipe`, `light`,
/// the figures, `edges_hz`, `shortest_pulse_s` or null, `supply_peak` in full currents of a channel, `light_error`), and
/// `analog` with `units` and `lights` (`recipe`, `light`, `light_given`: `low`, `median`, `high`; `light_error`, `colour_error_uv`,
/// `dark`: units with a dark channel; `supply`). Figures: `svm`, `low_risk_margin`, `no_effect_margin`, `below_90_hz`,
/// `visibility`, `pst_lm_of_lines`.
///
/// Bus has `frames` (how many), `dead_times` (array of `at_s`, `frame` in hexadecimal and `dead_time_s`, of the frames that moved the light),
/// `interval_s` (between packets as measured, or null), `counts` (the core's counters by name) and `stream_hash` (FNV-1a over the words
/// of each channel in each control step, to compare with a firmware).
///
/// Faults has `seconds`, `survived`, and `rows` with `id`, `name`, `seconds`, `injected`, `counters`, `light_outside_limits` and `jumps` (control
/// steps), `fade_off_time_steps`, `below_90_hz`, `flashes_hz`, `recovered`, `survived` and `how`.
///
/// Warm: `recipes` is an array, one object per recipe and light, empty where the file says too little of temperatures; `fades` an
/// array with `peak_power_w` and `corrected_peak_power_w` of each fade of the script, empty where a channel's power is not known.
///
/// | key | holds |
/// |---|---|
/// | `recipe`, `light` | which recipe and light |
/// | `after_full_s` | seconds since full light had lasted for long; null for a light that has lasted itself |
/// | `plain`, `corrected` | without and with the core's flux correction: `delta_uv` from the recipe's colour, `junctions_celsius`, `flux_lm`, `power_w` |
/// | `wavelength_drift_nm` | least and most by which the peaks of the warmest channel move against 25 °C (typical ranges from memory); information, never corrected |
///
/// A chip, by the ledger of a Cortex-M0:
///
/// | key | holds |
/// |---|---|
/// | `luminaire_bytes`, `buffer_bytes` | RAM of state and buffers |
/// | `streams_cycles_a_tick`, `packing_cycles_a_tick` | cycles of all channels, each in its costliest row, and of the form that is put out |
/// | `transfers_hz` | transfers a second |
/// | `control_cycles`, `longest_control_cycles` | of a control step; where all rows change, or out of the dark |
/// | `streams_share`, `control_share`, `dma_stall_share`, `cpu_share` | parts of the clock, and their sum; `streams_share` with the packing |
/// | `half_s`, `filling_s`, `waiting_s`, `slack_s` | how long a half of the buffer lasts, its filling takes and has to wait, and the first less the second |
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
    let mut document = json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": checked.origin, "sha256": checked.input_digest },
        "parameters": parameters(&checked.description),
        "verdicts": checked.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "lights": lights::lights(checked),
        "cameras": lights::cameras(checked),
        "drivers": drivers::drivers(checked),
        "buck_designs": buck_designs(&checked.description),
        "warm": warm::warm(checked),
        "chip": chip::chip(&checked.description),
        "colours": colours::colours(checked),
        "white_fades": colours::white_fades(checked),
        "bands": bands(),
        "summary": {
            "passed": checked.count(Outcome::Pass),
            "failed": checked.count(Outcome::Fail),
            "not_judged": checked.count(Outcome::NotJudged),
        },
    });
    if let Some(figures) = &checked.spread {
        document["spread"] = spread::spread(checked, figures);
    }
    if let Some(ways) = &checked.comparison {
        document["comparison"] = comparison::comparison(checked, ways);
    }
    if let Some(seen) = &checked.observed.bus {
        document["bus"] = bus::bus(seen);
    }
    if let Some(faults) = &checked.faults {
        document["faults"] = bus::faults(faults);
    }
    document
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
            "drivers",
            "buck_designs",
            "warm",
            "chip",
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
