//! Average density of each channel against the ideal curve times its share.

use milliglow::Level;

use super::rules::Rules;
use super::words::place;
use crate::description::Description;
use crate::metrics::{count_resolution, relative_error};
use crate::numbers::percent;
use crate::run::{Hold, core_curve, core_shares, ideal_light, steady_levels};
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
    let errors = lit.map(|(held, channel)| {
        (
            relative_error(held.ones as f64 / ticks, held.target),
            held,
            channel,
        )
    });
    let (error, held, channel) = errors.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let expected = held.target * ticks;
    if count_resolution(expected) > rule.limit && error > rule.limit {
        let reason = format!(
            "{} gave only {} pulses in a minute: too few to tell {}",
            channel.name,
            held.ones,
            percent(rule.limit)
        );
        return Some(rule.not_judged(at, reason));
    }
    let reason = format!(
        "{}: {} ones counted, {expected:.1} asked for",
        channel.name, held.ones
    );
    Some(rule.judge(at, error, reason))
}

/// The worst Level and channel by arithmetic: the streams keep the density's mean exactly.
fn judge_all_levels(description: &Description, rule: &Rule) -> Option<Verdict> {
    let recipes = 0..description.recipes.len();
    let errors = recipes.flat_map(|recipe| worst_of_recipe(description, recipe));
    let (error, light, recipe, channel) = errors.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let reason = format!(
        "{}: worst density over all Levels and recipes",
        description.channels[channel].name
    );
    Some(
        rule.judge(place(description, recipe, light), error, reason)
            .worst(),
    )
}

fn worst_of_recipe(description: &Description, recipe: usize) -> Option<(f64, f64, usize, usize)> {
    let shares = &description.recipes[recipe].shares;
    let core = core_shares(shares);
    let curve = core_curve(description.curve);
    let errors = steady_levels(description).flat_map(|level: Level| {
        let ideal = ideal_light(description.curve, f64::from(level.to_bits()));
        let lights = core
            .iter()
            .map(move |share| share.of(curve.light(level)).as_f64());
        let lit = lights
            .zip(shares)
            .enumerate()
            .filter(|(_, (_, share))| **share > 0.0);
        lit.map(move |(channel, (light, share))| {
            (relative_error(light, share * ideal), ideal, recipe, channel)
        })
    });
    errors.max_by(|a, b| a.0.total_cmp(&b.0))
}
