//! Flicker at the test lights and before cameras, as JSON.

use serde_json::{Map, Value, json};

use crate::metrics::flicker::filtered_modulation::CUT_OFFS_HZ;
use crate::report::Checked;
use crate::report::html::flicker_table::chromatic;
use crate::run::{Bands, Flicker, WorstLine};

/// One object per recipe and test light.
pub(super) fn lights(checked: &Checked) -> Vec<Value> {
    let lights = checked.observed.flicker.iter();
    lights.map(|at| light(checked, at)).collect()
}

fn light(checked: &Checked, at: &Flicker) -> Value {
    json!({
        "recipe": checked.description.recipes[at.recipe].name,
        "light": at.light,
        "mean": at.mean_lm,
        "modulation_percent": at.limited.percent,
        "flicker_index": at.limited.flicker_index,
        "raw": {
            "modulation_percent": at.raw.percent,
            "flicker_index": at.raw.flicker_index,
        },
        "filtered_modulation_percent": filtered(at),
        "svm": at.svm,
        "pst_lm": at.pst_lm,
        "dominant_frequency_hz": at.dominant_hz,
        "ieee1789": ieee1789(at),
        "below_90_hz": at.below_90_hz,
        "visibility": at.visibility,
        "visibility_bound": at.visibility_bound,
        "phantom_array_margin": at.phantom_array,
        "chromatic_flicker": chromatic(at).map(|(frequency_hz, delta_uv)| {
            json!({ "frequency_hz": frequency_hz, "delta_uv": delta_uv })
        }),
    })
}

fn filtered(at: &Flicker) -> Map<String, Value> {
    let cut_offs = CUT_OFFS_HZ.iter().map(f64::to_string);
    cut_offs.zip(at.filtered_percent.map(Value::from)).collect()
}

fn ieee1789(at: &Flicker) -> Value {
    let kept = |worst: Option<WorstLine>| worst.is_none_or(|worst| worst.margin <= 1.0);
    json!({
        "low_risk": kept(at.low_risk),
        "no_effect": kept(at.no_effect),
        "worst_frequency_hz": at.no_effect.map(|worst| worst.frequency_hz),
        "worst_margin": at.no_effect.map(|worst| worst.margin),
    })
}

/// One object per camera, recipe and light.
pub(super) fn cameras(checked: &Checked) -> Vec<Value> {
    let bands = checked.observed.bands.iter();
    bands.map(|bands| camera(checked, bands)).collect()
}

fn camera(checked: &Checked, bands: &Bands) -> Value {
    let camera = &checked.description.cameras[bands.camera];
    json!({
        "camera": camera.name,
        "recipe": checked.description.recipes[bands.recipe].name,
        "light": bands.light,
        "contrast": bands.contrast,
        "limit": camera.contrast,
        "exposure_s": bands.exposure_s,
        "frame_flicker": bands.frame_flicker,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn each_light_has_the_documented_keys_and_its_own_figures() {
        let checked = fixture::checked();
        let lights = lights(&checked);
        assert_eq!(lights.len(), checked.observed.flicker.len());
        let keys: Vec<_> = lights[0].as_object().unwrap().keys().collect();
        let expected = [
            "recipe",
            "light",
            "mean",
            "modulation_percent",
            "flicker_index",
            "raw",
            "filtered_modulation_percent",
            "svm",
            "pst_lm",
            "dominant_frequency_hz",
            "ieee1789",
            "below_90_hz",
            "visibility",
            "visibility_bound",
            "phantom_array_margin",
            "chromatic_flicker",
        ];
        assert_eq!(keys, expected);
        let (told, at) = (&lights[8], &checked.observed.flicker[8]);
        assert_eq!(told["recipe"], "stars");
        assert_eq!(told["modulation_percent"], at.limited.percent);
        assert_eq!(told["raw"]["flicker_index"], at.raw.flicker_index);
        let filtered = &told["filtered_modulation_percent"];
        assert_eq!(filtered["40"], at.filtered_percent[0]);
        assert_eq!(filtered["1000"], at.filtered_percent[4]);
    }

    #[test]
    fn a_practice_is_kept_up_to_its_limit_and_where_no_line_has_one() {
        let mut at = fixture::checked().observed.flicker[0].clone();
        let line = |margin| {
            Some(WorstLine {
                frequency_hz: 300.0,
                margin,
            })
        };
        (at.low_risk, at.no_effect) = (line(1.0), line(1.01));
        let told = ieee1789(&at);
        assert_eq!(
            (&told["low_risk"], &told["no_effect"]),
            (&json!(true), &json!(false))
        );
        assert_eq!(told["worst_margin"], 1.01);
        (at.low_risk, at.no_effect) = (None, None);
        let told = ieee1789(&at);
        assert_eq!(told["no_effect"], true);
        assert!(told["worst_frequency_hz"].is_null());
    }

    #[test]
    fn each_camera_stands_with_its_limit() {
        let cameras = cameras(&fixture::checked());
        let keys: Vec<_> = cameras[0].as_object().unwrap().keys().collect();
        let expected = [
            "camera",
            "recipe",
            "light",
            "contrast",
            "limit",
            "exposure_s",
            "frame_flicker",
        ];
        assert_eq!(keys, expected);
        assert_eq!(cameras[0]["camera"], "phone");
        assert_eq!(cameras[0]["limit"], 0.02);
    }
}
