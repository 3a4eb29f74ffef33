//! Longest dark gap and pulse rate of each lit channel at steady light.

use milliglow::Level;
use rayon::prelude::*;

use super::hardware::faster_pulses;
use super::pulse_survey::{AtLevel, Surveyed, grid, has_closed_form};
use super::rules::Rules;
use super::words::place;
use crate::description::{Description, LevelChoice};
use crate::metrics::Pulses;
use crate::numbers::{percent, significant};
use crate::run::{Hold, core_curve, has_exact_lines, level, steady_levels};
use crate::verdict::Verdict;

/// A channel at a place, with its density and how it pulses.
#[derive(Clone, Copy)]
struct Pulsing {
    recipe: usize,
    light: f64,
    channel: usize,
    density: f64,
    pulses: Pulses,
}

pub(super) fn judge(description: &Description, holds: &[Hold]) -> Vec<Verdict> {
    let judge = Judge {
        description,
        rules: Rules::of(description),
    };
    let mut verdicts: Vec<_> = holds
        .iter()
        .flat_map(|hold| judge.rows(Worst::of(held(hold))))
        .collect();
    let everywhere = judge.rows(everywhere(description));
    verdicts.extend(everywhere.into_iter().map(Verdict::worst));
    verdicts
}

/// The worst channel for each rule: what is kept of any number of channels, Levels and recipes.
#[derive(Clone, Copy, Default)]
struct Worst {
    gap: Option<Pulsing>,
    rate: Option<Pulsing>,
}

impl Worst {
    /// Above half density gaps are of single ticks, so no pulse stands alone.
    fn of(channels: impl IntoIterator<Item = Pulsing>) -> Self {
        let one = |channel: Pulsing| Self {
            gap: Some(channel),
            rate: (channel.density <= 0.5).then_some(channel),
        };
        channels
            .into_iter()
            .map(one)
            .fold(Self::default(), Self::or)
    }

    fn or(self, other: Self) -> Self {
        let by_gap = |a: &Pulsing, b: &Pulsing| {
            a.pulses
                .longest_dark_ticks
                .total_cmp(&b.pulses.longest_dark_ticks)
        };
        let by_rate = |a: &Pulsing, b: &Pulsing| a.pulses.a_tick.total_cmp(&b.pulses.a_tick);
        Self {
            gap: self.gap.into_iter().chain(other.gap).max_by(by_gap),
            rate: self.rate.into_iter().chain(other.rate).min_by(by_rate),
        }
    }
}

fn held(hold: &Hold) -> Vec<Pulsing> {
    let lit = hold
        .channels
        .iter()
        .enumerate()
        .filter(|(_, held)| held.target > 0.0);
    lit.map(|(channel, held)| Pulsing {
        recipe: hold.recipe,
        light: hold.light,
        channel,
        density: held.ones as f64 / hold.ticks as f64,
        pulses: Pulses {
            a_tick: held.pulses as f64 / hold.ticks as f64,
            // A channel that never lit was dark all the while.
            longest_dark_ticks: if held.ones == 0 {
                hold.ticks as f64
            } else {
                held.longest_dark_ticks as f64
            },
        },
    })
    .collect()
}

/// Levels that one luminaire goes through.
const LEVELS_AT_A_TIME: usize = 2_048;

/// Every Level both ways where there is a closed form, otherwise a grid.
fn everywhere(description: &Description) -> Worst {
    let levels: Vec<_> = if has_closed_form(description) || has_exact_lines(description) {
        steady_levels(description).collect()
    } else {
        grid(description)
    };
    let of_levels = |recipe: usize, levels: &[Level]| {
        let curve = core_curve(description.curve);
        let mut surveyed = Surveyed::new(description, recipe);
        let mut worst = Worst::default();
        for &level in levels {
            let light = curve.light(level).as_f64();
            for pulsing in surveyed.at_both_ways(level) {
                worst = worst.or(Worst::of(at_light(recipe, light, pulsing)));
            }
        }
        worst
    };
    let of_recipe = |recipe: usize| {
        levels
            .par_chunks(LEVELS_AT_A_TIME.min(levels.len().div_ceil(4)))
            .map(|levels| of_levels(recipe, levels))
            .reduce(Worst::default, Worst::or)
    };
    (0..description.recipes.len())
        .map(of_recipe)
        .fold(Worst::default(), Worst::or)
}

fn at_light(recipe: usize, light: f64, pulsing: AtLevel) -> impl Iterator<Item = Pulsing> {
    let channels = pulsing.into_iter().enumerate();
    let lit = channels.filter_map(|(channel, pulsing)| Some((channel, pulsing?)));
    lit.map(move |(channel, (density, pulses))| Pulsing {
        recipe,
        light,
        channel,
        density,
        pulses,
    })
}

struct Judge<'a> {
    description: &'a Description,
    rules: Rules,
}

impl Judge<'_> {
    fn rows(&self, worst: Worst) -> Vec<Verdict> {
        let gap = worst.gap.map(|worst| self.gap(&worst));
        let rate = worst.rate.map(|worst| self.rate(&worst));
        gap.into_iter().chain(rate).collect()
    }

    fn gap(&self, worst: &Pulsing) -> Verdict {
        let seconds = worst.pulses.longest_dark_ticks / self.slowest_tick_hz();
        let rule = &self.rules.dark_gap;
        let needed = f64::from(self.description.tick_hz) * seconds / rule.limit;
        rule.judge(self.place(worst), seconds, self.reason(worst))
            .mended_by(|| Some(self.remedy(worst, needed)))
    }

    fn rate(&self, worst: &Pulsing) -> Verdict {
        let hertz = worst.pulses.a_tick * self.slowest_tick_hz();
        let rule = &self.rules.pulse_rate;
        let needed =
            f64::from(self.description.tick_hz) * rule.limit / hertz.max(f64::MIN_POSITIVE);
        rule.judge(self.place(worst), hertz, self.reason(worst))
            .mended_by(|| Some(self.remedy(worst, needed)))
    }

    /// Frequencies are judged at the worst of the tick rate's tolerance.
    fn slowest_tick_hz(&self) -> f64 {
        f64::from(self.description.tick_hz) * (1.0 - self.description.tick_tolerance)
    }

    fn place(&self, worst: &Pulsing) -> String {
        place(self.description, worst.recipe, worst.light)
    }

    fn name(&self, worst: &Pulsing) -> &str {
        &self.description.channels[worst.channel].name
    }

    fn reason(&self, worst: &Pulsing) -> String {
        format!(
            "{} at a density of {}: one pulse in {} ticks",
            self.name(worst),
            percent(worst.density),
            significant(1.0 / worst.pulses.a_tick, 4)
        )
    }

    /// The lowest tick rate that passes, or else the share, at this light.
    fn remedy(&self, worst: &Pulsing, needed_tick_hz: f64) -> String {
        let tick_hz = f64::from(self.description.tick_hz);
        let level = level(self.description, LevelChoice::Light(worst.light));
        let recipe = &self.description.recipes[worst.recipe];
        let share = recipe.shares_at(f64::from(level.to_bits()))[worst.channel];
        let needed_share = share * needed_tick_hz / tick_hz;
        let rate = faster_pulses(self.description, needed_tick_hz / tick_hz);
        let recipe = &recipe.name;
        let name = self.name(worst);
        if needed_share <= 1.0 {
            let needed = significant(rounded_up_share(needed_share), 4);
            format!("{rate}; or give {name} a share of {needed} or more in {recipe}, or none")
        } else {
            format!(
                "{rate}; or raise lowest_light_percent; no share of {name} in {recipe} would do"
            )
        }
    }
}

fn rounded_up_share(share: f64) -> f64 {
    (share * 1_000.0).ceil() / 1_000.0
}
