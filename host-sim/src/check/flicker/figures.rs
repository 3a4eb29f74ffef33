//! All figures of flicker of a recipe at a light.

use milliglow::Level;
use rayon::prelude::*;

use super::chromatic::chromatic_lines;
use super::light::{Light, at_clock};
use super::map;
use super::severity::severity;
use crate::description::Description;
use crate::metrics::flicker::temporal_visibility::{Model, visibility};
use crate::metrics::flicker::{
    Line, Samples, filtered_modulation, ieee1789, modulation::modulation, period, phantom_array,
    spectrum,
};
use crate::run::{Flicker, Hold, Swing, WorstLine};

/// Samples a second of light limited to 20 kHz, and for how long: California JA10 asks for 1 s.
const LIMITED_HZ: u32 = 80_000;
const LIMITED_SECONDS: f64 = 1.1;

/// Words of ticks that the raw swing is taken of: several pulses of the rarest channel deep down.
const RAW_WORDS: usize = 1 << 12;

/// Samples kept for the picture of the waveform.
const KEPT: usize = 800;

/// Flicker at every hold that is lit.
pub(in crate::check) fn figures(description: &Description, holds: &[Hold]) -> Vec<Flicker> {
    let lit: Vec<_> = holds.iter().filter(|hold| hold.level > 0).collect();
    lit.into_par_iter()
        .map(|hold| at(description, hold))
        .collect()
}

fn at(description: &Description, hold: &Hold) -> Flicker {
    let light = Light::new(description, hold.recipe, Level::from_bits(hold.level));
    let lines = light.lines();
    let row = map::row(description, hold.light, &lines);
    let values = light.samples(LIMITED_HZ, LIMITED_SECONDS);
    let samples = Samples {
        rate_hz: f64::from(LIMITED_HZ),
        values: &values,
    };
    let severity = severity(&light, description.tick_hz);
    let mean_lm = samples.mean().unwrap_or(0.0);
    let model = Model::at(description.full_output_cd_m2 * hold.light);
    Flicker {
        recipe: hold.recipe,
        light: hold.light,
        mean_lm,
        raw: raw_swing(description, &light),
        limited: swing(samples),
        filtered_percent: filtered_modulation::CUT_OFFS_HZ.map(|cut_off| {
            filtered_modulation::filtered_modulation(samples, cut_off).unwrap_or(0.0)
        }),
        dominant_hz: spectrum::dominant(&lines).map(|line| line.frequency_hz),
        svm: row.svm,
        pst_lm: severity.as_ref().map_or(0.0, |severity| severity.pst_lm),
        pst_lm_s: severity
            .as_ref()
            .map_or(0.0, |severity| severity.judged_seconds),
        pinst_max: severity.as_ref().map_or(0.0, |severity| severity.pinst_max),
        pinst_interval_s: severity
            .as_ref()
            .map_or(0.0, |severity| severity.interval_s),
        pinst: severity.map_or(Vec::new(), |severity| severity.pinst),
        low_risk: worst(description, &lines, &ieee1789::LOW_RISK),
        no_effect: worst(description, &lines, &ieee1789::NO_EFFECT),
        below_90_hz: row.below_90_hz,
        visibility: row.visibility,
        visibility_bound: visibility(&lines, &model).bound_sum.sqrt(),
        phantom_array: phantom_array(&lines),
        chromatic: chromatic_lines(description, &light),
        waveform: values
            .iter()
            .take(KEPT)
            .map(|value| value / mean_lm)
            .collect(),
        waveform_hz: f64::from(LIMITED_HZ),
        lines: lines
            .iter()
            .map(|line| (line.frequency_hz, line.amplitude))
            .collect(),
    }
}

/// Over whole periods where the light has a period.
fn swing(samples: Samples) -> Swing {
    let found = modulation(samples, period::fundamental(samples));
    found.map_or(Swing::default(), |found| Swing {
        percent: found.percent,
        flicker_index: found.flicker_index,
    })
}

/// Tick by tick, over the record as it is.
fn raw_swing(description: &Description, light: &Light) -> Swing {
    let values = light.ticks(RAW_WORDS);
    let samples = Samples {
        rate_hz: f64::from(description.tick_hz),
        values: &values,
    };
    let found = modulation(samples, None);
    found.map_or(Swing::default(), |found| Swing {
        percent: found.percent,
        flicker_index: found.flicker_index,
    })
}

fn worst(
    description: &Description,
    lines: &[Line],
    practice: &ieee1789::Practice,
) -> Option<WorstLine> {
    let tolerance = description.tick_tolerance;
    let at = |factor| practice.worst(&at_clock(lines, factor));
    let all = [1.0 - tolerance, 1.0, 1.0 + tolerance]
        .into_iter()
        .filter_map(at);
    let worst = all.max_by(|a, b| a.margin().total_cmp(&b.margin()))?;
    Some(WorstLine {
        frequency_hz: worst.line.frequency_hz,
        margin: worst.margin(),
    })
}

fn phantom_array(lines: &[Line]) -> Option<f64> {
    let margins = phantom_array::curves()
        .iter()
        .filter_map(|curve| curve.worst(lines));
    margins.map(|worst| worst.margin()).max_by(f64::total_cmp)
}
