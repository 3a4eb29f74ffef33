//! Whether a colour holds while the light changes, by the arithmetic of the densities.

use milliglow::density::Density;
use milliglow::{Level, Share};

use super::rules::Rules;
use super::words::place;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::{N_STEP, colour_shift};
use crate::numbers::significant;
use crate::run::{Hold, core_curve, core_shares, steady_levels};
use crate::verdict::{Rule, Verdict};

/// Chromaticity and flux at full of every channel.
pub(super) fn channels(description: &Description) -> Vec<(Xy, f64)> {
    description
        .channels
        .iter()
        .map(|channel| {
            (
                Xy {
                    x: channel.x,
                    y: channel.y,
                },
                channel.flux_lm,
            )
        })
        .collect()
}

pub(super) fn judge(description: &Description, holds: &[Hold]) -> Vec<Verdict> {
    let rule = Rules::of(description).colour_shift;
    let recipes: Vec<_> = (0..description.recipes.len())
        .map(|recipe| Dimmed::new(description, recipe))
        .collect();
    let at_holds = holds.iter().filter(|hold| hold.level > 0).map(|hold| {
        let shift = recipes[hold.recipe].shift(Level::from_bits(hold.level));
        verdict(&rule, place(description, hold.recipe, hold.light), shift)
    });
    let mut verdicts: Vec<_> = at_holds.collect();
    verdicts.extend(worst(description, &rule, &recipes));
    verdicts
}

fn worst(description: &Description, rule: &Rule, recipes: &[Dimmed]) -> Option<Verdict> {
    let all = recipes.iter().enumerate().flat_map(|(recipe, dimmed)| {
        steady_levels(description).map(move |level| (dimmed.shift(level), recipe, level))
    });
    let (shift, recipe, level) = all.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let light = core_curve(description.curve).light(level).as_f64();
    Some(verdict(rule, place(description, recipe, light), shift).worst())
}

fn verdict(rule: &Rule, at: String, shift: f64) -> Verdict {
    let steps = significant(shift / N_STEP, 4);
    rule.judge(
        at,
        shift,
        format!("{steps} n-steps from the colour at full, by the densities"),
    )
    .mended_by(|| {
        Some(
            "raise the lowest light: below it the smallest share is too few units of 2^-32"
                .to_owned(),
        )
    })
}

/// A recipe at any Level.
struct Dimmed {
    curve: milliglow::curve::Curve,
    channels: Vec<(Xy, f64)>,
    shares: Vec<Share>,
    full: Vec<Density>,
}

impl Dimmed {
    fn new(description: &Description, recipe: usize) -> Self {
        let shares = core_shares(&description.recipes[recipe].shares);
        let full = shares
            .iter()
            .map(|share| Density::from_bits(share.to_bits()))
            .collect();
        Self {
            curve: core_curve(description.curve),
            channels: channels(description),
            shares,
            full,
        }
    }

    /// Delta u'v' against full; a light too low for any density counts as no shift.
    fn shift(&self, level: Level) -> f64 {
        let light = self.curve.light(level);
        let densities: Vec<_> = self
            .shares
            .iter()
            .map(|share| Density::from_light(share.of(light)))
            .collect();
        colour_shift(&self.channels, &densities, &self.full).unwrap_or(0.0)
    }
}
