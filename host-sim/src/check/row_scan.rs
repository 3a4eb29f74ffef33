//! Which rows of the operating tables steady light uses, and where they change.

use milliglow::Level;
use milliglow::density::Density;
use rayon::prelude::*;

use crate::description::Description;
use crate::run::{From, Stand, Standing, core_curve, steady_levels};

/// A row in which a channel pulses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct UsedRow {
    pub(super) recipe: usize,
    pub(super) channel: usize,
    pub(super) row: usize,
    /// The lowest light, as a fraction of full, at which it does.
    pub(super) light: f64,
}

/// A light at which a channel works in one row come upon from below, and in another from above.
#[derive(Clone, Debug)]
pub(super) struct Between {
    pub(super) light: f64,
    /// How all channels stand there, come from below.
    pub(super) below: Vec<Stand>,
    /// And from above.
    pub(super) above: Vec<Stand>,
}

/// A boundary between two rows of a channel.
#[derive(Clone, Debug)]
pub(super) struct Boundary {
    pub(super) recipe: usize,
    pub(super) channel: usize,
    /// Where the upper row is left downwards.
    pub(super) down: Between,
    /// Where the lower row is left upwards.
    pub(super) up: Between,
}

impl Boundary {
    fn rows(&self) -> (usize, usize) {
        rows(&self.up, self.channel)
    }
}

fn rows(between: &Between, channel: usize) -> (usize, usize) {
    (between.below[channel].row, between.above[channel].row)
}

/// What a recipe uses.
#[derive(Clone, Debug, Default)]
pub(super) struct RowScan {
    pub(super) used: Vec<UsedRow>,
    pub(super) boundaries: Vec<Boundary>,
}

/// Every recipe at every Level of steady light, both ways; at the lowest alone where no channel has rows to choose from.
pub(super) fn scan(description: &Description) -> Vec<RowScan> {
    let one_row = |rows: usize| rows == 1;
    let plain = description
        .channels
        .iter()
        .all(|channel| one_row(channel.rows.len()));
    let levels = steady_levels(description);
    let levels = levels.take(if plain { 1 } else { usize::MAX });
    let recipes = (0..description.recipes.len()).into_par_iter();
    recipes
        .map(|recipe| scan_recipe(description, recipe, levels.clone()))
        .collect()
}

fn scan_recipe(
    description: &Description,
    recipe: usize,
    levels: impl Iterator<Item = Level>,
) -> RowScan {
    let curve = core_curve(description.curve);
    let mut standing = Standing::new(description, recipe);
    let mut scan = RowScan::default();
    for level in levels {
        let between = Between {
            light: curve.light(level).as_f64(),
            below: standing.at(level, From::Below),
            above: standing.at(level, From::Above),
        };
        scan.see(recipe, &between);
    }
    scan
}

impl RowScan {
    fn see(&mut self, recipe: usize, between: &Between) {
        for channel in 0..between.below.len() {
            for stand in [&between.below[channel], &between.above[channel]] {
                self.see_row(recipe, channel, stand, between.light);
            }
            let (below, above) = rows(between, channel);
            if below != above {
                self.see_boundary(recipe, channel, between);
            }
        }
    }

    fn see_row(&mut self, recipe: usize, channel: usize, stand: &Stand, light: f64) {
        let pulses = !matches!(stand.density, Density::NONE | Density::FULL);
        let mut known = self.used.iter();
        if pulses && !known.any(|used| (used.channel, used.row) == (channel, stand.row)) {
            self.used.push(UsedRow {
                recipe,
                channel,
                row: stand.row,
                light,
            });
        }
    }

    /// Levels rise, so the last of a boundary is where the lower row is left.
    fn see_boundary(&mut self, recipe: usize, channel: usize, between: &Between) {
        let of_channel = |boundary: &&mut Boundary| {
            boundary.channel == channel && boundary.rows() == rows(between, channel)
        };
        match self.boundaries.iter_mut().rev().find(of_channel) {
            Some(boundary) => boundary.up = between.clone(),
            None => self.boundaries.push(Boundary {
                recipe,
                channel,
                down: between.clone(),
                up: between.clone(),
            }),
        }
    }
}
