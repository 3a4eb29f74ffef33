//! Average light of each channel against the ideal curve times its share.

use milliglow::Level;
use rayon::prelude::*;

use super::pulse_survey::grid;
use super::rules::Rules;
use super::words::place;
use crate::description::{Description, Modulation};
use crate::metrics::{count_resolution, relative_error};
use crate::numbers::percent;
use crate::run::{BOTH_WAYS, Driven, Hold, Standing, ideal_light, mean_light, steady_levels};
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

/// An error, and where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Found {
    error: f64,
    light: f64,
    recipe: usize,
    channel: usize,
}

impl Found {
    fn worst(all: impl IntoIterator<Item = Self>) -> Option<Self> {
        let all = all.into_iter();
        all.max_by(|a, b| a.error.total_cmp(&b.error))
    }
}

/// The worst Level and channel, come upon from below and from above: by arithmetic where the streams keep the mean exactly, and
/// where what a pulse gives depends on the gap before it by stepping, at a grid of lights.
fn judge_all_levels(description: &Description, rule: &Rule) -> Vec<Verdict> {
    let recipes = 0..description.recipes.len();
    let channels = Channels::of(description);
    let found = recipes.flat_map(|recipe| {
        let counted = channels.counted_worst(description, recipe);
        counted
            .into_iter()
            .chain(channels.stepped_worst(description, recipe))
    });
    let worst = Found::worst(found).map(|found| {
        let name = &description.channels[found.channel].name;
        let reason = match channels.stepped.contains(&found.channel) {
            true => format!("{name}: worst light over a grid and all recipes, its driver stepped"),
            false => format!("{name}: worst light over all Levels and recipes"),
        };
        let at = place(description, found.recipe, found.light);
        rule.judge(at, found.error, reason).worst()
    });
    let noisy = channels.noisy.iter().map(|&channel| {
        let reason = format!(
            "{}: what a pulse gives depends on the gap before it, and gaps are dithered or of second order: only the held \
             lights are counted",
            description.channels[channel].name
        );
        rule.not_judged("all Levels", reason)
    });
    worst.into_iter().chain(noisy).collect()
}

/// Which channels' mean lights are known, and how.
struct Channels {
    /// By arithmetic.
    counted: Vec<usize>,
    /// By stepping.
    stepped: Vec<usize>,
    /// By counting for long only.
    noisy: Vec<usize>,
}

impl Channels {
    fn of(description: &Description) -> Self {
        let driven = Driven::all(description);
        let all = 0..driven.len();
        // Without correction what edges take of noisy streams is told well enough: it is no thousandth.
        let (counted, others): (Vec<_>, Vec<_>) = all.partition(|&k| driven[k].edges_alike);
        let is_noisy = |&channel: &usize| {
            let modulation = description.channels[channel].modulation;
            let even = matches!(
                modulation,
                Modulation::FirstOrder
                    | Modulation::Timer {
                        width_shift: None,
                        ..
                    }
            );
            !even
        };
        let (noisy, stepped) = others.into_iter().partition(is_noisy);
        Self {
            counted,
            stepped,
            noisy,
        }
    }

    fn counted_worst(&self, description: &Description, recipe: usize) -> Option<Found> {
        if self.counted.is_empty() {
            return None;
        }
        let mut standing = Standing::new(description, recipe);
        let ways = steady_levels(description).flat_map(|level| BOTH_WAYS.map(|from| (level, from)));
        let errors = ways.filter_map(|(level, from)| {
            let lights = standing.lights(level, from);
            let errors = self.counted.iter();
            let errors = errors.filter_map(|&k| found(description, (recipe, level, k), lights[k]));
            Found::worst(errors)
        });
        Found::worst(errors)
    }

    fn stepped_worst(&self, description: &Description, recipe: usize) -> Option<Found> {
        let mut standing = Standing::new(description, recipe);
        let mut places = Vec::new();
        for level in grid(description) {
            for stands in BOTH_WAYS.map(|from| standing.at(level, from)) {
                places.extend(self.stepped.iter().map(|&k| (level, k, stands[k])));
            }
        }
        let driven = standing.driven();
        let errors: Vec<_> = places
            .into_par_iter()
            .filter_map(|(level, channel, stand)| {
                let light = mean_light(description, channel, &driven[channel], &stand);
                found(description, (recipe, level, channel), light)
            })
            .collect();
        Found::worst(errors)
    }
}

/// The error of a channel's light at a Level of a recipe; none where it should be dark.
fn found(
    description: &Description,
    (recipe, level, channel): (usize, Level, usize),
    light: f64,
) -> Option<Found> {
    let position = f64::from(level.to_bits());
    let ideal = ideal_light(description.curve, position);
    let share = description.recipes[recipe].shares_at(position)[channel];
    (share > 0.0).then(|| Found {
        error: relative_error(light, share * ideal),
        light: ideal,
        recipe,
        channel,
    })
}

#[cfg(test)]
mod tests {
    use super::judge;
    use crate::check::one_channel::{buck, one_channel};
    use crate::description::{Description, LevelChoice, Modulation};
    use crate::run::{Driven, draw, hold_all, level, mean_light, steady};
    use crate::verdict::{Outcome, Verdict};

    /// An inductor whose current lasts for several ticks: pulses meet from a tenth of the light on.
    fn slow_buck() -> Description {
        let mut made = one_channel();
        made.tick_hz = 200_000;
        made.requirements.lowest_light = 0.01;
        made.channels[0].driver = buck(0.0);
        made
    }

    fn worst(verdicts: &[Verdict]) -> &Verdict {
        verdicts.iter().find(|verdict| verdict.is_worst).unwrap()
    }

    /// A long count of the stream agrees with what some hundred pulses tell.
    #[test]
    fn what_is_stepped_is_what_is_counted() {
        let made = slow_buck();
        let driven = Driven::all(&made);
        for light in [0.013, 0.07, 0.21, 0.4, 0.63, 0.97] {
            let level = level(&made, LevelChoice::Light(light));
            let stand = steady(&made, 0, level).stands()[0];
            let stepped = mean_light(&made, 0, &driven[0], &stand);
            let counted = draw(&made, 0, level, 100_000)[0].light;
            assert!(
                (stepped / counted - 1.0).abs() < 2e-4,
                "{light}: {stepped} {counted}"
            );
        }
    }

    /// Pulses that meet give more light than the one that stands alone, which the correction is made of.
    #[test]
    fn pulses_that_meet_are_found_by_the_search() {
        let made = slow_buck();
        let verdicts = judge(&made, &hold_all(&made));
        let held = verdicts.iter().filter(|verdict| !verdict.is_worst);
        let held = held.filter_map(|verdict| verdict.value).fold(0.0, f64::max);
        let found = worst(&verdicts);
        assert_eq!(found.outcome, Outcome::Fail, "{found:?}");
        assert!(
            held > 0.01 && found.value.unwrap() > 0.99 * held,
            "{found:?} {held}"
        );
        assert!(found.reason.contains("stepped"), "{found:?}");
    }

    #[test]
    fn noise_behind_such_a_driver_is_not_judged() {
        let mut made = slow_buck();
        made.channels[0].modulation = Modulation::SecondOrder;
        let verdicts = judge(&made, &[]);
        assert_eq!(verdicts.len(), 1);
        assert_eq!(verdicts[0].outcome, Outcome::NotJudged);
        assert!(
            verdicts[0].reason.contains("second order"),
            "{:?}",
            verdicts[0]
        );
    }
}
