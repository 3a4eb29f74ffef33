//! Ways of dimming side by side: the same luminaire, drivers and clock under each, and plain dimming by the set point.

mod analog;
mod pulse_train;
mod ways;

pub use analog::{AnalogRow, UNITS};

use milliglow::Level;
use rayon::prelude::*;

use super::flicker::{metric_maps, row_at};
use super::pulse_survey::Surveyed;
use crate::description::{Description, LevelChoice};
use crate::run::{
    Driven, From, MetricMap, MetricRow, Standing, core_curve, has_exact_lines, ideal_light, level,
    steadied, steady, test_lights,
};
use ways::{Way, ways};

/// Ways of dimming beside each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The file's own first.
    pub ways: Vec<Compared>,
    /// Plain dimming by the set point: no flicker, but see what is left of the light.
    pub analog: Vec<AnalogRow>,
}

/// A way of dimming and its figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Its name for people.
    pub name: String,
    /// Whether lines are exact; otherwise they are of records of 2.1 s up to 4 kHz, at fewer lights.
    pub is_exact: bool,
    /// Every recipe at every test light from the lowest asked for on.
    pub rows: Vec<ComparedRow>,
    /// Flicker against light, for each recipe.
    pub maps: Vec<MetricMap>,
}

impl Compared {
    /// The worst of a figure over all recipes and lights, and its light.
    #[must_use]
    pub fn worst(&self, figure: fn(&MetricRow) -> f64) -> Option<(f64, f64)> {
        let rows = self.maps.iter().flat_map(|map| &map.rows);
        let rows = rows.map(|row| (figure(row), row.light));
        rows.max_by(|one, other| one.0.total_cmp(&other.0))
    }
}

/// A way at a light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ComparedRow {
    /// Index of the recipe.
    pub recipe: usize,
    /// The figures of flicker, and the light.
    pub flicker: MetricRow,
    /// Edges of all channels a second.
    pub edges_hz: f64,
    /// Shortest pulse of any channel in s, as the stream has it; none where no pulse ends.
    pub shortest_pulse_s: Option<f64>,
    /// Most current at once, in full currents of a channel.
    pub supply_peak: f64,
    /// Mean light against the curve, relative, with its sign.
    pub light_error: f64,
}

/// Lays the ways of dimming side by side. `maps` are the file's own, or none yet. `progress` hears which part is done.
///
/// *Cost*: a search over all lights for each way with exact lines, and a record of 2.1 s for each light of the others.
#[must_use]
pub fn compare(
    file: &Description,
    maps: &[MetricMap],
    mut progress: impl FnMut(f64),
) -> Comparison {
    let all = ways(file);
    let count = all.len() as f64;
    let ways = all.into_iter().enumerate().map(|(index, way)| {
        let maps = match index {
            0 if !maps.is_empty() => maps.to_vec(),
            _ => way_maps(&way.luminaire),
        };
        let compared = compared(way, maps);
        progress((index + 1) as f64 / count);
        compared
    });
    Comparison {
        ways: ways.collect(),
        analog: analog::analog(file),
    }
}

/// Lights a decade where each must be recorded.
const RECORDED_A_DECADE: f64 = 4.0;

fn way_maps(luminaire: &Description) -> Vec<MetricMap> {
    if has_exact_lines(luminaire) {
        return metric_maps(luminaire);
    }
    let lowest = luminaire.requirements.lowest_light;
    let count = (-lowest.log10() * RECORDED_A_DECADE).ceil();
    let lights = (0..=count as u32).map(|k| lowest.powf(1.0 - f64::from(k) / count));
    let levels: Vec<_> = lights.map(|light| lit_level(luminaire, light)).collect();
    let of_recipe = |recipe: usize| MetricMap {
        recipe,
        rows: levels
            .par_iter()
            .map(|&level| row_at(luminaire, recipe, level))
            .collect(),
    };
    (0..luminaire.recipes.len()).map(of_recipe).collect()
}

fn lit_level(luminaire: &Description, light: f64) -> Level {
    level(luminaire, LevelChoice::Light(light)).max(Level::from_bits(1))
}

fn compared(way: Way, maps: Vec<MetricMap>) -> Compared {
    let luminaire = &way.luminaire;
    let lights = test_lights(luminaire);
    let places: Vec<_> = (0..luminaire.recipes.len())
        .flat_map(|recipe| lights.iter().map(move |&light| (recipe, light)))
        .collect();
    let rows = places
        .into_par_iter()
        .map(|(recipe, light)| row(luminaire, &maps[recipe], recipe, light));
    Compared {
        is_exact: has_exact_lines(luminaire),
        rows: rows.collect(),
        name: way.name,
        maps,
    }
}

fn row(luminaire: &Description, map: &MetricMap, recipe: usize, light: f64) -> ComparedRow {
    let level = lit_level(luminaire, light);
    let at = core_curve(luminaire.curve).light(level).as_f64();
    let known = map.rows.iter().find(|row| row.light == at);
    let flicker = known.map_or_else(|| row_at(luminaire, recipe, level), |row| *row);
    let tick_hz = f64::from(luminaire.tick_hz);
    let pulses = Surveyed::new(luminaire, recipe).at(level, From::Below);
    let pulses = pulses.into_iter().flatten();
    let (shortest, supply_peak) = pulse_train::survey(luminaire, recipe, level);
    ComparedRow {
        recipe,
        flicker: MetricRow { light, ..flicker },
        edges_hz: 2.0
            * pulses
                .map(|(_, pulses)| pulses.a_tick * tick_hz)
                .sum::<f64>(),
        shortest_pulse_s: shortest.map(|ticks| f64::from(ticks) / tick_hz),
        supply_peak,
        light_error: light_error(luminaire, recipe, level),
    }
}

/// By closed forms; streams without one keep their mean, and are taken by their densities.
fn light_error(luminaire: &Description, recipe: usize, level: Level) -> f64 {
    let stands = steady(luminaire, recipe, level).stands();
    let closed = steadied(luminaire, &Driven::all(luminaire), &stands);
    let lights = Standing::new(luminaire, recipe).lights(level, From::Below);
    let channels = luminaire.channels.iter().zip(closed).zip(lights);
    let given: f64 = channels
        .map(|((channel, closed), light)| {
            closed.map_or(channel.flux_lm * light, |closed| closed.mean())
        })
        .sum();
    let shares = luminaire
        .channels
        .iter()
        .zip(&luminaire.recipes[recipe].shares);
    let full: f64 = shares.map(|(channel, share)| channel.flux_lm * share).sum();
    given / (full * ideal_light(luminaire.curve, f64::from(level.to_bits()))) - 1.0
}

#[cfg(test)]
mod tests {
    use super::{Compared, MetricMap, MetricRow, Way, compared, way_maps};
    use crate::check::one_channel::one_channel;
    use crate::description::Modulation;
    use crate::run::test_lights;

    #[test]
    fn the_worst_is_the_highest_of_all_recipes_with_its_light() {
        let map = |recipe, rows: &[(f64, f64)]| MetricMap {
            recipe,
            rows: rows
                .iter()
                .map(|&(light, svm)| MetricRow {
                    light,
                    svm,
                    ..MetricRow::default()
                })
                .collect(),
        };
        let compared = Compared {
            name: String::new(),
            is_exact: true,
            rows: Vec::new(),
            maps: vec![map(0, &[(0.1, 0.2), (1.0, 0.1)]), map(1, &[(0.5, 0.7)])],
        };
        assert_eq!(compared.worst(|row| row.svm), Some((0.7, 0.5)));
    }

    /// A row that a map holds is not found again, and is that of its own recipe.
    #[test]
    fn figures_are_taken_from_the_map_of_the_recipe() {
        let mut luminaire = one_channel();
        luminaire.requirements.lowest_light = 0.01;
        luminaire.recipes.push(luminaire.recipes[0].clone());
        let map = |recipe, svm| {
            let row = MetricRow {
                light: 1.0,
                svm,
                ..MetricRow::default()
            };
            let rows = vec![row];
            MetricMap { recipe, rows }
        };
        let lights = test_lights(&luminaire);
        let way = Way {
            name: String::new(),
            luminaire,
        };
        let rows = compared(way, vec![map(0, 0.7), map(1, 0.2)]).rows;
        let at: Vec<_> = rows
            .iter()
            .map(|row| (row.recipe, row.flicker.light))
            .collect();
        let expected = [0, 1].map(|recipe| lights.iter().map(move |&light| (recipe, light)));
        assert_eq!(at, expected.into_iter().flatten().collect::<Vec<_>>());
        let full = rows.iter().filter(|row| row.flicker.light == 1.0);
        assert_eq!(
            full.map(|row| row.flicker.svm).collect::<Vec<_>>(),
            [0.7, 0.2]
        );
    }

    /// Four lights a decade, both ends among them.
    #[test]
    fn recorded_ways_are_looked_at_four_times_a_decade() {
        let mut noisy = one_channel();
        noisy.tick_hz = 40_000;
        noisy.requirements.lowest_light = 0.1;
        noisy.channels[0].modulation = Modulation::SecondOrder;
        let rows = &way_maps(&noisy)[0].rows;
        let lights: Vec<_> = rows.iter().map(|row| row.light).collect();
        assert_eq!(lights.len(), 5);
        for (k, light) in lights.into_iter().enumerate() {
            let expected = 10f64.powf(k as f64 / 4.0 - 1.0);
            assert!((light / expected - 1.0).abs() < 1e-3, "{light} {expected}");
        }
    }
}
