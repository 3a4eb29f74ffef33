//! Pulse rate and dark gaps over the whole range of steady light.

use milliglow::Level;
use milliglow::density::Density;
use rayon::prelude::*;

use crate::description::{Description, LevelChoice, Modulation};
use crate::metrics::{Pulses, first_order};
use crate::run::{PulseRates, core_curve, core_shares, draw, level};

/// Lights a decade for the plot, and for modulations without a closed form.
const LIGHTS_A_DECADE: f64 = 24.0;

/// How each channel pulses at a Level of a recipe; none for a dark channel.
pub(super) type AtLevel = Vec<Option<Pulses>>;

/// Pulse rates for the plot.
pub(super) fn survey(description: &Description) -> Vec<PulseRates> {
    let tick_hz = f64::from(description.tick_hz);
    let rates = |pulses: AtLevel| {
        pulses
            .into_iter()
            .map(|p| p.map_or(0.0, |p| p.a_tick * tick_hz))
            .collect()
    };
    let rows = |recipe| {
        let row = |level: Level| {
            (
                core_curve(description.curve).light(level).as_f64(),
                rates(at(description, recipe, level)),
            )
        };
        grid(description).into_par_iter().map(row).collect()
    };
    (0..description.recipes.len())
        .map(|recipe| PulseRates {
            recipe,
            rows: rows(recipe),
        })
        .collect()
}

/// Levels spread evenly over the decades of steady light, lowest first.
pub(super) fn grid(description: &Description) -> Vec<Level> {
    let lowest = description.requirements.lowest_light;
    let count = (-lowest.log10() * LIGHTS_A_DECADE).ceil();
    let light = |k: f64| lowest.powf(1.0 - k / count);
    let mut levels: Vec<_> = (0..=count as u32)
        .map(|k| {
            level(
                description,
                LevelChoice::Light(light(f64::from(k)).min(1.0)),
            )
        })
        .collect();
    levels.retain(|&level| level > Level::OFF);
    levels.dedup();
    levels
}

/// How each channel pulses: in closed form where all channels have one, otherwise by a second of its stream.
pub(super) fn at(description: &Description, recipe: usize, level: Level) -> AtLevel {
    if has_closed_form(description) {
        let light = core_curve(description.curve).light(level);
        let shares = core_shares(&description.recipes[recipe].shares);
        return shares
            .iter()
            .map(|share| first_order(Density::from_light(share.of(light))))
            .collect();
    }
    let words = description.tick_hz as usize / 32;
    let ticks = words as f64 * 32.0;
    let seen = draw(description, recipe, level, words)
        .into_iter()
        .zip(&description.recipes[recipe].shares);
    seen.map(|((count, _), share)| {
        (*share > 0.0).then(|| Pulses {
            a_tick: count.pulses as f64 / ticks,
            longest_dark_ticks: count.longest_dark_ticks as f64,
        })
    })
    .collect()
}

/// Whether every channel is of first order without dither.
pub(super) fn has_closed_form(description: &Description) -> bool {
    description
        .channels
        .iter()
        .all(|channel| channel.modulation == Modulation::FirstOrder)
}
