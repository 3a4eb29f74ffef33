//! Units of a series: the light and the colour that most of them hold, with the design's values in the firmware and with what
//! was measured of each unit.

mod bench;
mod unit;

pub use bench::{Change, Deviation};

use milliglow::Level;
use rayon::prelude::*;

use super::quantile::quantile;
use crate::description::{Description, LevelChoice, SetPoints};
use crate::run::{BOTH_WAYS, From, core_curve, level, test_lights};
use bench::Bench;

/// The part of the units that holds what is told.
pub const PART: f64 = 0.95;

/// What was found of a number of units.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadFigures {
    /// Units drawn.
    pub units: u32,
    /// A row a place: every recipe at the test lights, then across each change of row, both ways.
    pub rows: Vec<SpreadRow>,
}

/// What [`PART`] of the units hold at a place, each figure by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadRow {
    /// Index of the recipe.
    pub recipe: usize,
    /// Light of the luminaire as a fraction of full.
    pub light: f64,
    /// The change of row, if this is one.
    pub change: Option<Change>,
    /// With the design's edges, ratios and fluxes in the firmware.
    pub design: Deviation,
    /// With each unit's own: its edges and ratios in its operating table as the core's types hold them, its channels turned
    /// down to the weakest one of the recipe, against the design.
    pub own: Deviation,
}

/// Draws units and says what most of them hold. The same file and number give the same figures.
///
/// *Cost*: some microseconds for each unit, recipe, place and channel.
#[must_use]
pub fn spread(design: &Description, units: u32) -> SpreadFigures {
    let places: Vec<_> = (0..design.recipes.len())
        .flat_map(|recipe| places(design, recipe))
        .collect();
    let found: Vec<_> = (0..u64::from(units))
        .into_par_iter()
        .map(|number| {
            let unit = unit::draw(design, number);
            [
                deviations(design, |_| design.clone(), &unit, &places),
                deviations(
                    design,
                    |recipe| calibrated(design, &unit, recipe),
                    &unit,
                    &places,
                ),
            ]
        })
        .collect();
    let rows = places.iter().enumerate().map(|(index, place)| {
        let most = |which: usize| held(found.iter().map(|unit| unit[which][index]).collect());
        SpreadRow {
            recipe: place.recipe,
            light: core_curve(design.curve).light(place.level).as_f64(),
            change: place.change,
            design: most(0),
            own: most(1),
        }
    });
    SpreadFigures {
        units,
        rows: rows.collect(),
    }
}

/// Where units are looked at.
struct Place {
    recipe: usize,
    level: Level,
    change: Option<Change>,
}

fn places(design: &Description, recipe: usize) -> Vec<Place> {
    let held = test_lights(design).into_iter().map(|light| Place {
        recipe,
        level: level(design, LevelChoice::Light(light)).max(Level::from_bits(1)),
        change: None,
    });
    held.chain(changes(
        design,
        recipe,
        level(design, LevelChoice::Light(design.requirements.lowest_light)),
    ))
    .collect()
}

/// Every change of row above the lowest light asked for; channels that share a set point change together.
fn changes(design: &Description, recipe: usize, lowest: Level) -> Vec<Place> {
    let mut bench = Bench::new(design, design, design, recipe);
    let shares = &design.recipes[recipe].shares;
    let mut found: Vec<Place> = Vec::new();
    for (channel, _) in shares.iter().enumerate().filter(|(_, share)| **share > 0.0) {
        for row in 1..design.channels[channel].rows.len() {
            for from in BOTH_WAYS {
                let change = Change { channel, row, from };
                let place = bench.across(change).map(|(level, _)| Place {
                    recipe,
                    level,
                    change: Some(change),
                });
                let is_new = |place: &Place| {
                    design.operating.set_points == SetPoints::Own
                        || found.iter().all(|known| known.level != place.level)
                };
                found.extend(place.filter(|place| place.level > lowest && is_new(place)));
            }
        }
    }
    found
}

/// The firmware of a unit that was measured.
fn calibrated(design: &Description, unit: &Description, recipe: usize) -> Description {
    let mut firmware = unit.clone();
    let factor = |channel: usize| unit.channels[channel].flux_lm / design.channels[channel].flux_lm;
    let shares = &mut firmware.recipes[recipe].shares;
    let lit = shares.iter().enumerate().filter(|(_, share)| **share > 0.0);
    let weakest = lit
        .map(|(channel, _)| factor(channel))
        .fold(f64::INFINITY, f64::min);
    for (channel, share) in shares.iter_mut().enumerate() {
        *share *= (weakest / factor(channel)).min(1.0);
    }
    firmware
}

fn deviations(
    design: &Description,
    firmware: impl Fn(usize) -> Description,
    unit: &Description,
    places: &[Place],
) -> Vec<Deviation> {
    let of_recipe = |places: &[Place]| {
        let recipe = places[0].recipe;
        let mut bench = Bench::new(design, &firmware(recipe), unit, recipe);
        let at = |place: &Place| match place.change {
            Some(change) => bench
                .across(change)
                .map_or_else(Deviation::default, |(_, found)| found),
            None => bench.at(place.level, From::Below),
        };
        places.iter().map(at).collect::<Vec<_>>()
    };
    let recipes = places.chunk_by(|one, other| one.recipe == other.recipe);
    recipes.flat_map(of_recipe).collect()
}

/// What [`PART`] of the units hold: the least value that so many of them do not pass, each figure by itself.
fn held(units: Vec<Deviation>) -> Deviation {
    let most = |figure: fn(&Deviation) -> f64| quantile(units.iter().map(figure), PART);
    Deviation {
        flux: most(|unit| unit.flux),
        light: most(|unit| unit.light),
        colour: most(|unit| unit.colour),
        shift: most(|unit| unit.shift),
        light_step: most(|unit| unit.light_step),
        colour_step: most(|unit| unit.colour_step),
    }
}

#[cfg(test)]
mod tests {
    use super::{Deviation, calibrated, changes, held};
    use crate::check::one_channel::one_channel;
    use crate::description::{LevelChoice, OperatingRow};
    use crate::run::level;

    /// Only channels that are lit are turned down to the weakest of them.
    #[test]
    fn a_dark_channel_does_not_turn_others_down() {
        let mut design = one_channel();
        design.channels = vec![design.channels[0].clone(); 3];
        design.recipes[0].shares = vec![1.0, 0.5, 0.0];
        let mut unit = design.clone();
        for (channel, factor) in unit.channels.iter_mut().zip([0.96, 1.2, 0.5]) {
            channel.flux_lm *= factor;
        }
        let shares = &calibrated(&design, &unit, 0).recipes[0].shares;
        let expected = [1.0, 0.5 * 0.96 / 1.2, 0.0];
        for (share, expected) in shares.iter().zip(expected) {
            assert!((share - expected).abs() < 1e-12, "{shares:?}");
        }
    }

    /// Both ways, above the lowest light alone.
    #[test]
    fn changes_of_row_are_looked_at_above_the_lowest_light() {
        let mut design = one_channel();
        let lowest = level(&design, LevelChoice::Light(0.001));
        let mut places = |from_light| {
            let high = OperatingRow {
                from_light,
                ..OperatingRow::PLAIN
            };
            design.channels[0].rows = vec![OperatingRow::PLAIN, high];
            changes(&design, 0, lowest).len()
        };
        assert_eq!((places(0.01), places(0.000_5)), (2, 0));
    }

    #[test]
    fn each_figure_is_held_by_itself() {
        let unit = Deviation {
            flux: 0.1,
            light: 0.2,
            colour: 0.3,
            shift: 0.4,
            light_step: 0.5,
            colour_step: 0.6,
        };
        assert_eq!(held(vec![unit; 20]), unit);
    }
}
