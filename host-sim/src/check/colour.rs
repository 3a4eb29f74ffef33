//! Whether a colour holds while the light changes, by the arithmetic of densities and edges.

use milliglow::Level;

use super::rules::Rules;
use super::words::place;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::{N_STEP, colour_shift};
use crate::numbers::significant;
use crate::run::{BOTH_WAYS, From, Hold, Standing, core_curve, steady_levels};
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
    let mut recipes: Vec<_> = (0..description.recipes.len())
        .map(|recipe| Dimmed::new(description, recipe))
        .collect();
    let mut verdicts = Vec::new();
    for hold in holds.iter().filter(|hold| hold.level > 0) {
        let shift = recipes[hold.recipe].shift(Level::from_bits(hold.level), From::Below);
        verdicts.push(verdict(
            &rule,
            place(description, hold.recipe, hold.light),
            shift,
        ));
    }
    verdicts.extend(worst(description, &rule, &mut recipes));
    verdicts
}

fn worst(description: &Description, rule: &Rule, recipes: &mut [Dimmed]) -> Option<Verdict> {
    let all = recipes.iter_mut().enumerate().flat_map(|(recipe, dimmed)| {
        steady_levels(description)
            .flat_map(move |level| BOTH_WAYS.map(|from| (dimmed.shift(level, from), recipe, level)))
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
        format!("{steps} n-steps from the colour at full, by the densities and the drivers' edges"),
    )
    .mended_by(|| {
        Some(
            "raise the lowest light: below it the smallest share is too few units of 2^-32; \
             or leave edge_correction on"
                .to_owned(),
        )
    })
}

/// A recipe at any Level.
struct Dimmed {
    channels: Vec<(Xy, f64)>,
    standing: Standing,
    full: Vec<f64>,
}

impl Dimmed {
    fn new(description: &Description, recipe: usize) -> Self {
        let mut standing = Standing::new(description, recipe);
        Self {
            channels: channels(description),
            full: standing.lights(Level::FULL, From::Below),
            standing,
        }
    }

    /// Delta u'v' against full; a light too low for any density counts as no shift.
    fn shift(&mut self, level: Level, from: From) -> f64 {
        let lights = self.standing.lights(level, from);
        colour_shift(&self.channels, &lights, &self.full).unwrap_or(0.0)
    }
}
