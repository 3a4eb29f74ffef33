//! What edges do to the light, with theirs given back and without.

use milliglow::Level;

use super::super::pulse_survey::grid;
use crate::description::Description;
use crate::metrics::relative_error;
use crate::run::{
    Driven, EdgeError, From, LightErrors, Standing, core_curve, ideal_light, mean_light,
};

/// Both ways to run a recipe of a luminaire.
pub(super) struct EdgeErrors {
    recipe: usize,
    ways: [(Description, Standing); 2],
}

impl EdgeErrors {
    pub(super) fn new(description: &Description, recipe: usize) -> Self {
        let way = |edge_correction| {
            let mut description = description.clone();
            description.operating.edge_correction = edge_correction;
            let standing = Standing::new(&description, recipe);
            (description, standing)
        };
        Self {
            recipe,
            ways: [true, false].map(way),
        }
    }

    /// The errors of each channel at a Level; none for a dark one.
    pub(super) fn at(&mut self, level: Level) -> Vec<Option<EdgeError>> {
        let [corrected, uncorrected] = self
            .ways
            .each_mut()
            .map(|(description, standing)| errors(description, standing, self.recipe, level));
        let both = corrected.into_iter().zip(uncorrected);
        both.map(|(corrected, uncorrected)| {
            Some(EdgeError {
                corrected: corrected?,
                uncorrected: uncorrected?,
            })
        })
        .collect()
    }
}

fn errors(
    description: &Description,
    standing: &mut Standing,
    recipe: usize,
    level: Level,
) -> Vec<Option<f64>> {
    let ideal = ideal_light(description.curve, f64::from(level.to_bits()));
    let stands = standing.at(level, From::Below);
    let shares = &description.recipes[recipe].shares;
    let channels = stands.iter().zip(standing.driven()).zip(shares).enumerate();
    channels
        .map(|(channel, ((stand, driven), share))| {
            let asked = share * ideal;
            (asked > 0.0)
                .then(|| relative_error(mean_light(description, channel, driven, stand), asked))
        })
        .collect()
}

/// The worst channel over the range, for each recipe.
pub(super) fn over_light(description: &Description) -> Vec<LightErrors> {
    let driven = Driven::all(description);
    let mut rows = driven.iter().flat_map(|driven| &driven.rows);
    if rows.all(|row| row.edge_loss == 0.0) {
        return Vec::new();
    }
    let recipes = 0..description.recipes.len();
    recipes
        .map(|recipe| LightErrors {
            recipe,
            rows: over_recipe(description, recipe),
        })
        .collect()
}

fn over_recipe(description: &Description, recipe: usize) -> Vec<(f64, EdgeError)> {
    let curve = core_curve(description.curve);
    let mut errors = EdgeErrors::new(description, recipe);
    let row = |level: Level| {
        let lit = errors.at(level).into_iter().flatten();
        let worst = lit.reduce(|one, other| EdgeError {
            corrected: one.corrected.max(other.corrected),
            uncorrected: one.uncorrected.max(other.uncorrected),
        });
        Some((curve.light(level).as_f64(), worst?))
    };
    grid(description).into_iter().filter_map(row).collect()
}
