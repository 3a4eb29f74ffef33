//! Parts of a check for a search that judges many luminaires: a figure at a time, and steady light as a whole.

use milliglow::Level;
use rayon::prelude::*;

use super::rules::{Rules, camera_rule};
use super::{chip, flicker, pulse_survey, pulses};
use crate::description::{Description, LevelChoice};
use crate::metrics::Pulses;
use crate::run::{From, MetricMap, MetricRow, level};
use crate::verdict::{Rule, Verdict};

/// Levels spread evenly over the decades of steady light, lowest first: all of them are judged by a check, every third where
/// lines must be recorded.
pub(crate) fn grid(description: &Description) -> Vec<Level> {
    pulse_survey::grid(description)
}

/// Whether pulses are known in closed form.
pub(crate) fn has_closed_form(description: &Description) -> bool {
    pulse_survey::has_closed_form(description)
}

/// Density and pulses of each channel of a recipe that has come to a Level from black; none for a dark channel.
pub(crate) fn pulses_at(
    description: &Description,
    recipe: usize,
    level: Level,
) -> Vec<Option<(f64, Pulses)>> {
    pulse_survey::Surveyed::new(description, recipe).at(level, From::Below)
}

/// The figures of a recipe that is held at a Level, each the worst of the tick rate's tolerance.
pub(crate) fn row_at(description: &Description, recipe: usize, level: Level) -> MetricRow {
    flicker::row_at(description, recipe, level)
}

/// The worst contrast of a camera's bands, over its limit; none in the dark.
pub(crate) fn bands_at(
    description: &Description,
    camera: usize,
    recipe: usize,
    light: f64,
) -> Option<f64> {
    let level = level(description, LevelChoice::Light(light));
    let limit = camera_rule(description.cameras[camera].contrast).limit;
    let lit = (level > Level::OFF).then_some(level)?;
    flicker::contrast_at(description, camera, recipe, lit).map(|contrast| contrast / limit)
}

/// Every rule that a glimpse has a figure for.
pub(crate) struct Limits {
    pub(crate) pulse_rate: Rule,
    pub(crate) dark_gap: Rule,
    pub(crate) svm: Rule,
    pub(crate) low_risk: Rule,
    pub(crate) no_effect: Rule,
    pub(crate) seizure: Rule,
    pub(crate) visibility: Rule,
    pub(crate) pst_lm: Rule,
}

impl Limits {
    pub(crate) fn of(description: &Description) -> Self {
        let rules = Rules::of(description);
        Self {
            pulse_rate: rules.pulse_rate,
            dark_gap: rules.dark_gap,
            svm: rules.svm,
            low_risk: rules.low_risk,
            no_effect: rules.no_effect,
            seizure: rules.seizure,
            visibility: rules.visibility,
            pst_lm: rules.pst_lm,
        }
    }
}

/// The verdicts of a check on the chip, of a luminaire whose file has one.
pub(crate) fn chip_verdicts(description: &Description) -> Vec<Verdict> {
    chip::judge(description)
}

/// The verdicts of a check on the pulses of steady light at its worst.
pub(crate) fn worst_pulses(description: &Description) -> Vec<Verdict> {
    pulses::judge(description, &[])
}

/// Figures of the lights at which a check looks for the worst flicker of steady light, until a row is enough; and whether none was.
pub(crate) fn flicker_until(
    description: &Description,
    is_enough: &(dyn Fn(&MetricRow) -> bool + Sync),
) -> (Vec<MetricMap>, bool) {
    flicker::metric_maps_until(description, is_enough)
}

/// The verdicts of a check on the flicker of steady light at its worst.
pub(crate) fn worst_flicker(description: &Description, maps: &[MetricMap]) -> Vec<Verdict> {
    flicker::judge(description, &[], maps)
}

/// A verdict for every camera, recipe and light of the camera, without pictures.
pub(crate) fn bands(description: &Description) -> Vec<Verdict> {
    let cameras = description.cameras.iter().enumerate();
    let recipes = 0..description.recipes.len();
    let places: Vec<_> = cameras
        .flat_map(|(camera, described)| {
            let lights = described.lights.iter();
            lights.flat_map({
                let recipes = recipes.clone();
                move |&light| recipes.clone().map(move |recipe| (camera, recipe, light))
            })
        })
        .collect();
    let judged = places
        .into_par_iter()
        .filter_map(|(camera, recipe, light)| {
            let rule = camera_rule(description.cameras[camera].contrast);
            let over = bands_at(description, camera, recipe, light)?;
            Some(rule.judge(String::new(), over * rule.limit, ""))
        });
    judged.collect()
}
