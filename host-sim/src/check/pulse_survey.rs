//! Pulse rate and dark gaps over the whole range of steady light.

use milliglow::Level;
use milliglow::density::Density;
use rayon::prelude::*;

use crate::description::{Description, LevelChoice, Modulation};
use crate::metrics::{Pulses, first_order};
use crate::optics::Steady;
use crate::run::{From, PulseRates, Stand, Standing, core_curve, draw, level, steadied};

/// Lights a decade for the plot, and for modulations without a closed form.
const LIGHTS_A_DECADE: f64 = 24.0;

/// How a channel pulses, with its density; none for a dark one.
pub(super) type AtLevel = Vec<Option<(f64, Pulses)>>;

/// Pulse rates for the plot.
pub(super) fn survey(description: &Description) -> Vec<PulseRates> {
    let tick_hz = f64::from(description.tick_hz);
    let rates = |pulses: AtLevel| {
        pulses
            .into_iter()
            .map(|p| p.map_or(0.0, |(_, p)| p.a_tick * tick_hz))
            .collect()
    };
    let rows = |recipe| {
        let row = |level: &Level| {
            (
                core_curve(description.curve).light(*level).as_f64(),
                rates(Surveyed::new(description, recipe).at(*level, From::Below)),
            )
        };
        grid(description).par_iter().map(row).collect()
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

/// A recipe whose pulses are wanted at some Levels.
pub(super) struct Surveyed<'a> {
    description: &'a Description,
    recipe: usize,
    standing: Standing,
    is_first_order: bool,
}

impl<'a> Surveyed<'a> {
    pub(super) fn new(description: &'a Description, recipe: usize) -> Self {
        Self {
            description,
            recipe,
            standing: Standing::new(description, recipe),
            is_first_order: has_closed_form(description),
        }
    }

    /// How each channel pulses: in closed form where all channels have one, timers too, otherwise by a second of its stream from black.
    pub(super) fn at(&mut self, level: Level, from: From) -> AtLevel {
        let stands = self.standing.at(level, from);
        self.in_closed_form(&stands)
            .unwrap_or_else(|| self.counted(level, &stands))
    }

    /// The same from black and from full. Streams that must be counted are drawn once: they say the same of both.
    pub(super) fn at_both_ways(&mut self, level: Level) -> Vec<AtLevel> {
        let below = self.at(level, From::Below);
        if self.has_one_row() {
            return vec![below];
        }
        let stands = self.standing.at(level, From::Above);
        let above = self.in_closed_form(&stands);
        std::iter::once(below).chain(above).collect()
    }

    /// Whether a Level is the same from wherever the light comes.
    fn has_one_row(&self) -> bool {
        let channels = &self.description.channels;
        channels.iter().all(|channel| channel.rows.len() == 1)
    }

    fn in_closed_form(&self, stands: &[Stand]) -> Option<AtLevel> {
        let timers = match self.is_first_order {
            true => vec![None; stands.len()],
            false => steadied(self.description, self.standing.driven(), stands),
        };
        let channels = self.description.channels.iter().zip(stands).zip(timers);
        let channels = channels.zip(self.standing.driven());
        channels
            .map(|(((channel, stand), timer), driven)| {
                let pulses = match (channel.modulation, timer) {
                    (Modulation::FirstOrder, _) => first_order(stand.density)
                        .map(|pulses| pulses.stretched(driven.stretches[stand.row])),
                    (_, Some(Steady::Timer(timer))) => {
                        let (a_tick, longest_dark_ticks) = timer.pulses();
                        (stand.density != Density::NONE).then_some(Pulses {
                            a_tick,
                            longest_dark_ticks,
                        })
                    }
                    _ => return None,
                };
                Some(pulses.map(|pulses| (stand.density.as_f64(), pulses)))
            })
            .collect()
    }

    fn counted(&self, level: Level, stands: &[Stand]) -> AtLevel {
        let words = self.description.tick_hz as usize / 32;
        let ticks = words as f64 * 32.0;
        let seen = draw(self.description, self.recipe, level, words);
        let seen = seen.into_iter().zip(stands);
        seen.map(|(drawn, stand)| {
            let pulses = Pulses {
                a_tick: drawn.count.pulses as f64 / ticks,
                longest_dark_ticks: drawn.count.longest_dark_ticks as f64,
            };
            (stand.density != Density::NONE).then(|| (stand.density.as_f64(), pulses))
        })
        .collect()
    }
}

/// Whether every channel is of first order without dither.
pub(super) fn has_closed_form(description: &Description) -> bool {
    description
        .channels
        .iter()
        .all(|channel| channel.modulation == Modulation::FirstOrder)
}
