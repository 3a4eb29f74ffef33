//! Lines of the light, and bands of cameras.

use milliglow::Level;

use super::super::no_effect::Pulsing;
use super::super::scores::Scores;
use super::{Look, RECORDED, recorded_up_to};
use crate::check::glimpse::{bands_at, row_at};
use crate::description::LevelChoice;
use crate::run::{Driven, From, Stand, Standing, level};

/// By how much the closed form of the no-effect condition must be missed to be believed.
const SURELY: f64 = 1.05;
/// Lights of the grid left out between two whose lines are taken.
const LEFT_OUT: usize = 12;
/// Where lines must be recorded, a check takes every third light of the grid.
const RECORDED_OF_GRID: usize = 3;

impl Look<'_> {
    /// The closed form at the lowest light, where it is sure.
    pub(super) fn no_effect(&mut self) {
        if !self.lines_closed || !self.is_quick {
            return;
        }
        for recipe in self.recipes() {
            let pulsing = self.minor_pulses(recipe);
            for (k, one) in pulsing.iter().enumerate() {
                let others: Vec<_> = pulsing
                    .iter()
                    .enumerate()
                    .filter(|(j, _)| *j != k)
                    .map(|(_, other)| *other)
                    .collect();
                let over = one.least_over_no_effect(&others) / self.limits.no_effect.limit;
                if over > SURELY {
                    self.scores.see(self.limits.no_effect.id, over);
                }
            }
        }
    }

    /// Channels whose ones stand far apart at the lowest light.
    fn minor_pulses(&self, recipe: usize) -> Vec<Pulsing> {
        let stands = Standing::new(self.description, recipe).at(self.lowest(), From::Below);
        let channels = || {
            self.driven
                .iter()
                .zip(&stands)
                .zip(&self.description.channels)
        };
        let flux = |driven: &Driven, stand: &Stand, flux: f64| {
            flux * driven.light(stand, self.description.operating.edge_correction)
        };
        let sum: f64 = channels()
            .map(|((driven, stand), channel)| flux(driven, stand, channel.flux_lm))
            .sum();
        let lit =
            channels().filter(|((_, stand), _)| (1e-9..0.05).contains(&stand.density.as_f64()));
        lit.map(|((driven, stand), channel)| {
            let stretch = f64::from(driven.stretches[stand.row]);
            Pulsing {
                hertz: self.tick_hz() * stand.density.as_f64() / stretch,
                part: flux(driven, stand, channel.flux_lm) / sum,
            }
        })
        .collect()
    }

    pub(super) fn lowest_lines(&mut self) {
        let lowest = self.lowest();
        for recipe in self.recipes() {
            self.see_lines(recipe, lowest);
        }
    }

    pub(super) fn other_lines(&mut self) {
        let lowest = self.lowest();
        for recipe in self.recipes() {
            let mut levels = if self.lines_closed {
                self.few_levels(recipe)
            } else {
                self.recorded_level()
            };
            levels.sort_unstable();
            levels.dedup();
            for level in levels.into_iter().filter(|level| *level > lowest) {
                self.see_lines(recipe, level);
            }
        }
    }

    /// Every twelfth of the grid, and those above each change of a row.
    fn few_levels(&self, recipe: usize) -> Vec<Level> {
        let changes = self.row_changes(recipe);
        let above = changes
            .iter()
            .filter_map(|change| self.grid.iter().find(|level| *level >= change).copied());
        self.grid
            .iter()
            .copied()
            .step_by(LEFT_OUT)
            .chain(above)
            .collect()
    }

    /// Of the lights that a check records the first that is as bright as this.
    fn recorded_level(&self) -> Vec<Level> {
        let bright = level(self.description, LevelChoice::Light(RECORDED));
        let mut recorded = self.grid.iter().copied().step_by(RECORDED_OF_GRID);
        recorded
            .find(|level| *level >= bright)
            .into_iter()
            .collect()
    }

    fn see_lines(&mut self, recipe: usize, level: Level) {
        let row = row_at(self.description, recipe, level);
        self.scores = self.scores.worse(&Scores::of_row(&self.limits, &row));
    }

    /// Of streams without closed lines a record is taken for each, so that only lights are looked at where lines are
    /// recorded, and in a first look no more once a limit is broken.
    pub(super) fn cameras(&mut self) {
        let brightest = match self.lines_closed {
            true => 1.0,
            false => recorded_up_to(self.description),
        };
        for (camera, described) in self.description.cameras.iter().enumerate() {
            for recipe in self.recipes() {
                for &light in described.lights.iter().filter(|light| **light <= brightest) {
                    if self.is_quick && !self.scores.keep_all() {
                        return;
                    }
                    let over = bands_at(self.description, camera, recipe, light);
                    self.scores.see("camera_bands", over.unwrap_or(0.0));
                }
            }
        }
    }
}
