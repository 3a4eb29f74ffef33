//! Whether a colour holds in the warm luminaire: with every light on for long, and a second after a jump from full to the lowest.

use milliglow::flux_correction::{Configuration, Estimator};
use rayon::prelude::*;

use super::colour::{channels, channels_at};
use super::rules::Rules;
use super::words::place;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::N_STEP;
use crate::numbers::significant;
use crate::run::{
    From, Standing, TEST_LIGHTS, Warmed, WarmedRecipe, WarmedWhen, core_curve, light as core_light,
};
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
            let mut warm = Warm::new(description, channels(description), &[], estimator);
            warm.set_given(given(description, recipe, light, when));
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

/// Chromaticity of each channel at the set point of the row that it is in.
fn given(description: &Description, recipe: usize, light: f64, when: WarmedWhen) -> Vec<(Xy, f64)> {
    let level = core_curve(description.curve).level(core_light(light));
    let mut standing = Standing::new(description, recipe);
    let stands = standing.at(
        level,
        match when {
            WarmedWhen::Settled => From::Below,
            WarmedWhen::AfterFull => From::Above,
        },
    );
    channels_at(&channels(description), standing.driven(), &stands)
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

#[cfg(test)]
mod tests {
    use super::{From, Standing, Xy, channels, channels_at, core_curve, core_light, warmed};
    use crate::description::{BUILT_IN, Description, parse};
    use crate::metrics::chromaticity;
    use crate::optics::drivers::{Knot, OverCurrent};

    /// LEDs that warmth leaves alone, and whose colour follows their current.
    fn cold() -> Description {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        for channel in &mut cove.channels {
            channel.flux_model.knots = vec![(25.0, 1.0), (100.0, 1.0)];
            let knot = |current, moved| Knot {
                current,
                efficacy: 1.0,
                xy: Xy {
                    x: channel.x + moved,
                    y: channel.y - moved,
                },
            };
            channel.over_current = OverCurrent::new(&[knot(0.1, 0.01), knot(1.0, 0.0)]).ok();
        }
        cove
    }

    /// What is left without warmth is what the lower current does to the colour.
    #[test]
    fn the_colour_of_the_row_in_force_counts() {
        let cove = cold();
        let found = warmed(&cove);
        for recipe in &found {
            let asked = cove.recipes[recipe.recipe].shares.clone();
            let of_asked = chromaticity(&channels(&cove), &asked).unwrap();
            for row in &recipe.rows {
                let level = core_curve(cove.curve).level(core_light(row.light));
                let mut standing = Standing::new(&cove, recipe.recipe);
                let stands = standing.at(level, From::Below);
                let given = channels_at(&channels(&cove), standing.driven(), &stands);
                let moved = chromaticity(&given, &asked).unwrap().distance(of_asked);
                assert!((row.plain.shift - moved).abs() < 1e-5, "{row:?} {moved}");
            }
        }
        let shifts = found.iter().flat_map(|recipe| &recipe.rows);
        let most = shifts.map(|row| row.plain.shift).fold(0.0, f64::max);
        assert!(most > 0.005, "{most}");
    }
}
