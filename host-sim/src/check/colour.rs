//! Whether a colour holds while the light changes, by the arithmetic of densities and edges.

use milliglow::Level;
use rayon::prelude::*;

use super::rules::Rules;
use super::words::place;
use crate::colour::{White, Xy};
use crate::description::Description;
use crate::metrics::{N_STEP, chromaticity};
use crate::numbers::{percent, significant};
use crate::run::{
    BOTH_WAYS, Dimming, Driven, From, HeldColour, Hold, Stand, Standing, core_curve, steady_levels,
};
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

/// The same at the set points of some stands.
pub(super) fn channels_at(
    channels: &[(Xy, f64)],
    driven: &[Driven],
    stands: &[Stand],
) -> Vec<(Xy, f64)> {
    let set_points = driven.iter().zip(stands).zip(channels);
    set_points
        .map(|((driven, stand), &(_, flux))| (driven.xy(stand), flux))
        .collect()
}

/// The verdicts, and how each recipe's colour dims.
pub(super) fn judge(description: &Description, holds: &[Hold]) -> (Vec<Verdict>, Vec<Dimming>) {
    let rule = Rules::of(description).colour_shift;
    let dimmed: Vec<_> = (0..description.recipes.len())
        .into_par_iter()
        .map(|recipe| Dimmed::new(description, recipe).over_all_levels(holds))
        .collect();
    let mut verdicts = Vec::new();
    for (dimming, _) in &dimmed {
        for held in &dimming.held {
            let at = place(description, dimming.recipe, held.light);
            verdicts.push(verdict(description, &rule, at, held.by_densities, dimming));
        }
    }
    let worst = dimmed
        .iter()
        .max_by(|(_, one), (_, other)| one.0.total_cmp(&other.0));
    verdicts.extend(worst.map(|(dimming, (shift, level))| {
        let light = core_curve(description.curve).light(*level).as_f64();
        let at = place(description, dimming.recipe, light);
        verdict(description, &rule, at, *shift, dimming).worst()
    }));
    (
        verdicts,
        dimmed.into_iter().map(|(dimming, _)| dimming).collect(),
    )
}

fn verdict(
    description: &Description,
    rule: &Rule,
    at: String,
    shift: f64,
    dimming: &Dimming,
) -> Verdict {
    let steps = significant(shift / N_STEP, 4);
    let from = if description.recipes[dimming.recipe].follows_level() {
        "the colour asked for at its Level"
    } else {
        "the colour at full"
    };
    let passes = match dimming.passes_n_step {
        Some(light) => format!("one n-step is passed at {} light", percent(light)),
        None => "no lit Level passes one n-step".to_owned(),
    };
    rule.judge(
        at,
        shift,
        format!("{steps} n-steps from {from}, by the densities and the drivers' edges; {passes}"),
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
struct Dimmed<'a> {
    description: &'a Description,
    recipe: usize,
    channels: Vec<(Xy, f64)>,
    standing: Standing,
    full: Vec<f64>,
}

/// Lights that the figure keeps, the worst Level of each.
const KEPT: usize = 400;

impl<'a> Dimmed<'a> {
    fn new(description: &'a Description, recipe: usize) -> Self {
        let mut standing = Standing::new(description, recipe);
        Self {
            description,
            recipe,
            channels: channels(description),
            full: standing.lights(Level::FULL, From::Below),
            standing,
        }
    }

    /// Every lit Level, from both sides; and the worst shift with its Level of those that the description answers for.
    fn over_all_levels(mut self, holds: &[Hold]) -> (Dimming, (f64, Level)) {
        let curve = core_curve(self.description.curve);
        let answered = steady_levels(self.description).next();
        let answered = answered.unwrap_or(Level::FULL);
        let (mut passes_n_step, mut worst) = (None, (0.0, Level::FULL));
        let mut rows: Vec<(f64, f64)> = Vec::new();
        let levels = (1..=u16::MAX).map(Level::from_bits);
        for level in levels {
            let light = curve.light(level).as_f64();
            let shift = BOTH_WAYS
                .map(|from| self.shift(level, from))
                .into_iter()
                .fold(0.0, f64::max);
            if shift > N_STEP {
                passes_n_step = Some(light);
            }
            if level >= answered && shift > worst.0 {
                worst = (shift, level);
            }
            keep(&mut rows, usize::from(level.to_bits()), (light, shift));
        }
        let recipe = self.recipe;
        let held = holds
            .iter()
            .filter(|hold| hold.recipe == recipe && hold.level > 0);
        let held = held.map(|hold| self.held(hold)).collect();
        (
            Dimming {
                recipe,
                whites: self.whites(&rows),
                rows,
                held,
                passes_n_step,
            },
            worst,
        )
    }

    /// What a recipe that follows the Level should give at the lights of the figure.
    fn whites(&self, rows: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let recipe = &self.description.recipes[self.recipe];
        let curve = core_curve(self.description.curve);
        let white = |&(light, _): &(f64, f64)| {
            let level = curve.level(crate::run::light(light));
            let shares = recipe.shares_at(f64::from(level.to_bits()));
            let colour = chromaticity(&self.channels, &shares)?;
            Some((light, White::of(colour.to_xy())?.cct_k))
        };
        rows.iter().filter_map(white).collect()
    }

    fn held(&mut self, hold: &Hold) -> HeldColour {
        let level = Level::from_bits(hold.level);
        let streams: Vec<f64> = hold.channels.iter().map(|held| held.light).collect();
        let stands = self.standing.at(level, From::Below);
        HeldColour {
            light: hold.light,
            by_densities: self.shift(level, From::Below),
            by_streams: self.shift_against_wanted(level, &stands, &streams),
        }
    }

    /// A light too low for any density counts as no shift.
    fn shift(&mut self, level: Level, from: From) -> f64 {
        let stands = self.standing.at(level, from);
        let lights = self.standing.lights_of(&stands);
        self.shift_against_wanted(level, &stands, &lights)
            .unwrap_or(0.0)
    }

    /// Delta u'v' against full, or where the recipe follows the Level against what it asks for there.
    fn shift_against_wanted(&self, level: Level, stands: &[Stand], lights: &[f64]) -> Option<f64> {
        let recipe = &self.description.recipes[self.recipe];
        let asked;
        let wanted = if recipe.follows_level() {
            asked = recipe.shares_at(f64::from(level.to_bits()));
            &*asked
        } else {
            &*self.full
        };
        let given = channels_at(&self.channels, self.standing.driven(), stands);
        let wanted = chromaticity(&self.channels, wanted)?;
        Some(chromaticity(&given, lights)?.distance(wanted))
    }
}

/// The worst of all Levels of a span of equal length.
fn keep(rows: &mut Vec<(f64, f64)>, level: usize, row: (f64, f64)) {
    let span = level * KEPT / (usize::from(u16::MAX) + 1);
    match rows.get_mut(span) {
        Some(kept) if kept.1 >= row.1 => {}
        Some(kept) => *kept = row,
        None => rows.push(row),
    }
}
