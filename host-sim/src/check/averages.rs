//! Average light of each channel against the ideal curve times its share.

use super::rules::Rules;
use super::words::place;
use crate::description::Description;
use crate::metrics::{count_resolution, relative_error};
use crate::numbers::percent;
use crate::run::{BOTH_WAYS, Hold, Standing, ideal_light, steady_levels};
use crate::verdict::{Rule, Verdict};

pub(super) fn judge(description: &Description, holds: &[Hold]) -> Vec<Verdict> {
    let rule = Rules::of(description).average_error;
    let mut verdicts: Vec<_> = holds
        .iter()
        .filter_map(|hold| judge_hold(description, &rule, hold))
        .collect();
    verdicts.extend(judge_all_levels(description, &rule));
    verdicts
}

/// The worst channel by counting, unless counting cannot tell.
fn judge_hold(description: &Description, rule: &Rule, hold: &Hold) -> Option<Verdict> {
    let at = place(description, hold.recipe, hold.light);
    let ticks = hold.ticks as f64;
    let lit = hold
        .channels
        .iter()
        .zip(&description.channels)
        .filter(|(held, _)| held.target > 0.0);
    let errors =
        lit.map(|(held, channel)| (relative_error(held.light, held.target), held, channel));
    let (error, held, channel) = errors.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let decisions = held.ones as f64 / f64::from(held.stretch);
    if count_resolution(decisions) > rule.limit && error > rule.limit {
        let reason = format!(
            "{} gave only {} pulses in a minute: too few to tell {}",
            channel.name,
            held.pulses,
            percent(rule.limit)
        );
        return Some(rule.not_judged(at, reason));
    }
    let expected = held.target * ticks;
    let reason = format!(
        "{}: light of {:.1} ticks at full, {expected:.1} asked for",
        channel.name,
        held.light * ticks
    );
    Some(rule.judge(at, error, reason))
}

/// The worst Level and channel by arithmetic, come upon from below and from above: the streams keep the mean exactly.
fn judge_all_levels(description: &Description, rule: &Rule) -> Option<Verdict> {
    let recipes = 0..description.recipes.len();
    let errors = recipes.filter_map(|recipe| worst_of_recipe(description, recipe));
    let (error, light, recipe, channel) = errors.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let reason = format!(
        "{}: worst light over all Levels and recipes",
        description.channels[channel].name
    );
    Some(
        rule.judge(place(description, recipe, light), error, reason)
            .worst(),
    )
}

fn worst_of_recipe(description: &Description, recipe: usize) -> Option<(f64, f64, usize, usize)> {
    let recipe_asked = &description.recipes[recipe];
    let mut standing = Standing::new(description, recipe);
    let ways = steady_levels(description).flat_map(|level| BOTH_WAYS.map(|from| (level, from)));
    let errors = ways.filter_map(|(level, from)| {
        let position = f64::from(level.to_bits());
        let ideal = ideal_light(description.curve, position);
        let shares = recipe_asked.shares_at(position);
        let lights = standing.lights(level, from);
        let lit = lights.iter().zip(shares.iter()).enumerate();
        let lit = lit.filter(|(_, (_, share))| **share > 0.0);
        let errors = lit.map(|(channel, (&light, share))| {
            (relative_error(light, share * ideal), ideal, recipe, channel)
        });
        errors.max_by(|a, b| a.0.total_cmp(&b.0))
    });
    errors.max_by(|a, b| a.0.total_cmp(&b.0))
}
