//! Whether a colour holds in the warm luminaire: with every light on for long, and a second after a jump from full to the lowest.

use milliglow::flux_correction::{Configuration, Estimator};
use rayon::prelude::*;

use super::colour::channels;
use super::rules::Rules;
use super::words::place;
use crate::description::Description;
use crate::metrics::N_STEP;
use crate::numbers::significant;
use crate::run::{TEST_LIGHTS, Warmed, WarmedRecipe, WarmedWhen, core_curve, light as core_light};
use crate::thermal::{PERIOD_S, Warm, WarmState, correction, missing};
use crate::verdict::{Rule, Verdict};

/// Lights from full to the lowest, beside the test lights.
const LIGHTS: i32 = 40;
/// How long after the jump the colour is looked at.
const AFTER_S: f64 = 1.0;
/// Steps that the estimator must stand still for once all is settled.
const HELD_STEPS: usize = 10;

/// Every recipe over light, brightest first, and after the jump; none where the file says too little.
pub(super) fn warmed(description: &Description) -> Vec<WarmedRecipe> {
    if missing(description).is_some() {
        return Vec::new();
    }
    let configuration = correction(description);
    let recipes = (0..description.recipes.len()).into_par_iter();
    recipes
        .map(|recipe| WarmedRecipe {
            recipe,
            rows: rows(description, &configuration, recipe),
        })
        .collect()
}

fn rows(
    description: &Description,
    configuration: &Configuration<16>,
    recipe: usize,
) -> Vec<Warmed> {
    let lowest = description.requirements.lowest_light;
    let is_test_light = |light: &f64| {
        TEST_LIGHTS
            .iter()
            .any(|test| (light / test - 1.0).abs() < 1e-9)
    };
    let mut lights: Vec<f64> = (0..=LIGHTS)
        .map(|k| lowest.powf(f64::from(k) / f64::from(LIGHTS)))
        .filter(|light| !is_test_light(light))
        .chain(TEST_LIGHTS.into_iter().filter(|&light| light >= lowest))
        .collect();
    lights.sort_by(|a, b| b.total_cmp(a));
    let both = |light, when| {
        let state = |estimator| {
            let warm = Warm::new(description, channels(description), &[], estimator);
            state(
                warm,
                &|light| shares(description, recipe, light),
                light,
                when,
            )
        };
        Warmed {
            light,
            when,
            plain: state(None),
            corrected: state(Some(Estimator::new(configuration))),
        }
    };
    let jump = both(lowest, WarmedWhen::AfterFull);
    let settled = lights
        .into_iter()
        .map(|light| both(light, WarmedWhen::Settled));
    settled.chain([jump]).collect()
}

/// What a recipe asks for at a light.
fn shares(description: &Description, recipe: usize, light: f64) -> Vec<f64> {
    let level = core_curve(description.curve).level(core_light(light));
    let recipe = &description.recipes[recipe];
    recipe.shares_at(f64::from(level.to_bits())).into_owned()
}

fn state(
    mut warm: Warm<'_, '_>,
    shares: &dyn Fn(f64) -> Vec<f64>,
    light: f64,
    when: WarmedWhen,
) -> WarmState {
    let (before, steps) = match when {
        WarmedWhen::Settled => (light, HELD_STEPS),
        WarmedWhen::AfterFull => (1.0, (AFTER_S / PERIOD_S).round() as usize),
    };
    warm.set_shares(&shares(before));
    warm.settle(before);
    warm.set_shares(&shares(light));
    (0..steps).for_each(|_| warm.step(light));
    warm.state(light)
}

pub(super) fn judge(description: &Description, warmed: &[WarmedRecipe]) -> Vec<Verdict> {
    let rule = Rules::of(description).colour_warm;
    if let Some(missing) = missing(description) {
        let keys = missing.keys.join(", ");
        let reason = format!(
            "the file does not say how {} warms: add {keys} to every channel, and [board] celsius",
            missing.channel
        );
        return vec![rule.not_judged("every recipe", reason)];
    }
    let mut verdicts = Vec::new();
    for recipe in warmed {
        let asked = recipe.rows.iter().filter(|row| is_asked(description, row));
        verdicts.extend(asked.map(|row| verdict(description, &rule, recipe.recipe, row)));
    }
    verdicts.extend(worst(description, &rule, warmed));
    verdicts
}

fn is_asked(description: &Description, row: &Warmed) -> bool {
    let lowest = description.requirements.lowest_light;
    row.when == WarmedWhen::AfterFull || TEST_LIGHTS.contains(&row.light) || row.light == lowest
}

fn worst(description: &Description, rule: &Rule, warmed: &[WarmedRecipe]) -> Option<Verdict> {
    let all = warmed
        .iter()
        .flat_map(|recipe| recipe.rows.iter().map(|row| (recipe.recipe, row)));
    let shift = |row: &Warmed| row.given(description.board.flux_correction).shift;
    let (recipe, row) = all.max_by(|a, b| shift(a.1).total_cmp(&shift(b.1)))?;
    Some(verdict(description, rule, recipe, row).worst())
}

fn verdict(description: &Description, rule: &Rule, recipe: usize, row: &Warmed) -> Verdict {
    let when = match row.when {
        WarmedWhen::Settled => "warm",
        WarmedWhen::AfterFull => "1 s after full",
    };
    let at = format!("{}, {when}", place(description, recipe, row.light));
    let steps = |state: &WarmState| significant(state.shift / N_STEP, 3);
    let (corrected, plain) = (steps(&row.corrected), steps(&row.plain));
    let given = row.given(description.board.flux_correction);
    let warmest = given.junctions.iter().copied().fold(f64::MIN, f64::max);
    let reason = format!(
        "{corrected} n-steps from the recipe's colour with flux correction, {plain} without; warmest junction {} °C",
        significant(warmest, 3)
    );
    rule.judge(at, given.shift, reason).mended_by(|| {
        (!description.board.flux_correction && row.corrected.shift <= rule.limit).then(|| {
            format!(
                "run the core's flux correction (`flux_correction = true` in [board]): {corrected} n-steps"
            )
        })
    })
}
