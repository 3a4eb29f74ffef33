//! One fade of the script, judged while it runs.

mod before;
mod verdicts;

pub(super) use before::Before;

use milliglow::Share;
use milliglow::curve::Curve;

use super::rules::Rules;
use super::share_moves::{Place, ShareMove, share_moves, sign};
use crate::description::{Description, Fade};
use crate::metrics::{ArrivalWatch, DirectionWatch, StepWatch};
use crate::numbers::significant;
use crate::run::{Step, control_steps, core_curve, core_shares, leg_ends, level};
use crate::verdict::Verdict;

/// Follows one fade.
pub(super) struct FadeJudge<'a> {
    description: &'a Description,
    fade: &'a Fade,
    /// Which fade it is, as the rows name it.
    place: String,
    levels: (u32, u32),
    steps: u32,
    curve: Curve,
    level: DirectionWatch,
    channels: Vec<(usize, DirectionWatch)>,
    light: StepWatch,
    arrival: ArrivalWatch,
    /// Recipes on the way, with the control step of each.
    passed: Vec<(u32, Vec<Share>)>,
    /// Largest distance of a share from them, in units of 2^-32.
    passing_error: u32,
}

impl<'a> FadeJudge<'a> {
    /// Of the fade that a control step begins.
    pub(super) fn new(description: &'a Description, step: &Step, before: &Before) -> Self {
        let fade = &description.script[step.fade];
        let curve = core_curve(description.curve);
        let from = Place {
            level: before.level,
            shares: &before.shares,
            recipe: before.recipe,
        };
        let shares = share_moves(description, fade, &from);
        let levels = (
            u32::from(before.level.to_bits()),
            u32::from(level(description, fade.level).to_bits()),
        );
        let lowest = description.requirements.lowest_light;
        let flux = flux(description, &before.lights);
        Self {
            description,
            fade,
            place: place(description, step),
            levels,
            steps: 0,
            curve,
            level: DirectionWatch::new(f64::from(levels.0), way(levels)),
            channels: channel_watches(description, &before.lights, levels, &shares),
            light: StepWatch::new(
                lowest,
                curve.light(before.level).as_f64(),
                flux,
                cd_m2(description, fade),
            ),
            arrival: ArrivalWatch::new(
                [levels]
                    .into_iter()
                    .chain(shares.iter().map(ShareMove::begin_and_target)),
            ),
            passed: passed(description, fade),
            passing_error: 0,
        }
    }

    pub(super) fn see(&mut self, step: &Step) {
        self.steps = step.of;
        self.level.see(f64::from(step.level.to_bits()));
        for (channel, watch) in &mut self.channels {
            watch.see(step.lights[*channel]);
        }
        self.light.see(
            self.curve.light(step.level).as_f64(),
            flux(self.description, step.lights),
        );
        if let Some((_, recipe)) = self.passed.iter().find(|(end, _)| *end == step.number) {
            let shares = step.shares.iter().zip(recipe);
            let errors = shares.map(|(share, goal)| share.to_bits().abs_diff(goal.to_bits()));
            self.passing_error = errors.fold(self.passing_error, u32::max);
        }
        let shares = step.shares.iter().map(|share| share.to_bits());
        self.arrival
            .see([u32::from(step.level.to_bits())].into_iter().chain(shares));
    }

    /// A jump is judged by its arrival alone.
    pub(super) fn verdicts(&self, rules: &Rules) -> Vec<Verdict> {
        let at = self.place.as_str();
        let arrival = self.arrival.result();
        let together = "control steps between the first and the last value to arrive";
        let mut rows = vec![
            rules
                .arrival_spread
                .judge(at, f64::from(arrival.spread), together),
            rules.arrival_error.judge(
                at,
                f64::from(arrival.error.max(self.passing_error)),
                if self.passed.is_empty() {
                    "largest distance from the target, in units of 2^-32 of a share or of a Level"
                } else {
                    "largest distance from the target and from each recipe on the way, in units of 2^-32 of a share or of a Level"
                },
            ),
        ];
        if self.fade.seconds > 0.0 {
            rows.extend(self.movement(rules, at));
        }
        rows
    }
}

fn passed(description: &Description, fade: &Fade) -> Vec<(u32, Vec<Share>)> {
    let ends = leg_ends(control_steps(description, fade), fade.through.len() + 1);
    let recipes = fade.through.iter().map(|shares| core_shares(shares));
    ends.into_iter().zip(recipes).collect()
}

fn place(description: &Description, step: &Step) -> String {
    let fade = &description.script[step.fade];
    let recipe = &description.recipes[fade.recipe].name;
    let again = if step.round > 0 { " again" } else { "" };
    format!(
        "fade {}{again}: {recipe}, {} s",
        step.fade + 1,
        significant(fade.seconds, 4)
    )
}

/// Watches the channels whose Level and share do not pull against each other.
fn channel_watches(
    description: &Description,
    before: &[f64],
    levels: (u32, u32),
    shares: &[ShareMove],
) -> Vec<(usize, DirectionWatch)> {
    let channels = before.iter().zip(shares).enumerate();
    let moving =
        channels.filter_map(|(channel, (light, share))| Some((channel, light, share.way?)));
    let agreeing = moving.filter(|(.., share)| way(levels) * share >= 0.0);
    agreeing
        .map(|(channel, &light, share)| {
            let direction = if way(levels) == 0.0 {
                share
            } else {
                way(levels)
            };
            let rows = description.channels[channel].rows.len();
            let hair = if rows > 1 { ROWS_APART } else { 0.0 };
            (channel, DirectionWatch::new(light, direction).but_for(hair))
        })
        .collect()
}

/// The light of two rows may differ by twice the error of one: 3.1e-5 of it, as
/// [`Row::density`](milliglow::operating::Row::density) says.
const ROWS_APART: f64 = 6.2e-5;

/// Luminance that a lumen gives: full output of the fade's recipe is declared.
pub(super) fn cd_m2(description: &Description, fade: &Fade) -> f64 {
    let shares = &description.recipes[fade.recipe].shares;
    let full: f64 = description
        .channels
        .iter()
        .zip(shares)
        .map(|(channel, share)| channel.flux_lm * share)
        .sum();
    if full > 0.0 {
        description.full_output_cd_m2 / full
    } else {
        0.0
    }
}

fn way((from, to): (u32, u32)) -> f64 {
    sign(f64::from(from), f64::from(to))
}

pub(super) fn flux(description: &Description, lights: &[f64]) -> f64 {
    description
        .channels
        .iter()
        .zip(lights)
        .map(|(channel, light)| channel.flux_lm * light)
        .sum()
}
