//! Flicker against light, and the worst light of each figure.

use milliglow::Level;
use rayon::prelude::*;

use super::super::pulse_survey::grid;
use super::light::{Light, at_clock};
use super::near_duties::near_duties;
use super::near_fractions::{lowest_and_full, near_fractions};
use crate::description::Description;
use crate::metrics::flicker::pst_lm::pst_lm_of_lines;
use crate::metrics::flicker::temporal_visibility::{Model, visibility};
use crate::metrics::flicker::{Line, ieee1789, svm::svm};
use crate::run::{MetricMap, MetricRow, core_curve, has_exact_lines};

/// How closely the range is searched: lights of the grid left out between two, and times that the search looks closer
/// round a worst light. Where lines must be taken from records, more coarsely.
const EXACT_SEARCH: (usize, u32) = (1, 3);
const RECORDED_SEARCH: (usize, u32) = (3, 1);
/// Levels tried on each side of a worst one.
const TRIED: u16 = 4;

/// The figures of lines, each the worst of the tick rate's tolerance.
pub(super) fn row(description: &Description, light: f64, lines: &[Line]) -> MetricRow {
    let tolerance = description.tick_tolerance;
    let model = Model::at(description.full_output_cd_m2 * light);
    let rows = [1.0 - tolerance, 1.0, 1.0 + tolerance].map(|factor| {
        let lines = at_clock(lines, factor);
        let margin = |practice: ieee1789::Practice| {
            practice.worst(&lines).map_or(0.0, |worst| worst.margin())
        };
        MetricRow {
            light,
            svm: svm(&lines),
            low_risk: margin(ieee1789::LOW_RISK),
            no_effect: margin(ieee1789::NO_EFFECT),
            below_90_hz: ieee1789::most_modulation_below_90_hz(&lines),
            visibility: visibility(&lines, &model).sum.sqrt(),
            slow_flicker: pst_lm_of_lines(&lines),
        }
    });
    rows.into_iter().reduce(worse).unwrap_or_default()
}

/// The figures of a recipe that is held at a Level.
pub(in crate::check) fn row_at(
    description: &Description,
    recipe: usize,
    level: Level,
) -> MetricRow {
    let light = core_curve(description.curve).light(level).as_f64();
    let lines = Light::new(description, recipe, level).lines();
    row(description, light, &lines)
}

fn worse(one: MetricRow, other: MetricRow) -> MetricRow {
    MetricRow {
        light: one.light,
        svm: one.svm.max(other.svm),
        low_risk: one.low_risk.max(other.low_risk),
        no_effect: one.no_effect.max(other.no_effect),
        below_90_hz: one.below_90_hz.max(other.below_90_hz),
        visibility: one.visibility.max(other.visibility),
        slow_flicker: one.slow_flicker.max(other.slow_flicker),
    }
}

/// Every figure that has a worst light.
pub(super) const FIGURES: [fn(&MetricRow) -> f64; 6] = [
    |row| row.svm,
    |row| row.low_risk,
    |row| row.no_effect,
    |row| row.below_90_hz,
    |row| row.visibility,
    |row| row.slow_flicker,
];

/// Figures over a grid of steady light, closer round the worst of each.
pub(in crate::check) fn metric_maps(description: &Description) -> Vec<MetricMap> {
    (0..description.recipes.len())
        .map(|recipe| map(description, recipe, None).0)
        .collect()
}

/// Whether a row ends a search.
pub(in crate::check) type IsEnough<'a> = dyn Fn(&MetricRow) -> bool + Sync + 'a;

/// The same until a row is enough, and whether none was.
pub(in crate::check) fn metric_maps_until(
    description: &Description,
    is_enough: &IsEnough,
) -> (Vec<MetricMap>, bool) {
    let mut maps = Vec::new();
    for recipe in 0..description.recipes.len() {
        let (map, is_whole) = map(description, recipe, Some(is_enough));
        maps.push(map);
        if !is_whole {
            return (maps, false);
        }
    }
    (maps, true)
}

fn map(
    description: &Description,
    recipe: usize,
    is_enough: Option<&IsEnough>,
) -> (MetricMap, bool) {
    let (every, rounds) = if has_exact_lines(description) {
        EXACT_SEARCH
    } else {
        RECORDED_SEARCH
    };
    let mut levels: Vec<_> = grid(description).into_iter().step_by(every).collect();
    levels.extend(lowest_and_full(description));
    levels.extend(near_fractions(description, recipe));
    levels.extend(near_duties(description, recipe));
    levels.sort_unstable();
    levels.dedup();
    let at = |level: Level| (level, row_at(description, recipe, level));
    let mut rows = Vec::new();
    let mut is_whole = extend(&mut rows, &levels, at, is_enough);
    for _ in 0..rounds {
        let figures = FIGURES.iter().filter(|_| is_whole);
        let closer: Vec<_> = figures
            .flat_map(|figure| round_worst(&rows, figure))
            .collect();
        is_whole &= extend(&mut rows, &closer, at, is_enough);
        rows.sort_by_key(|(level, _)| *level);
        rows.dedup_by_key(|(level, _)| *level);
    }
    let rows = rows.into_iter().map(|(_, row)| row).collect();
    (MetricMap { recipe, rows }, is_whole)
}

/// Levels judged together, where each may be the last: so few that little is judged in vain, and always the same ones.
const TOGETHER: usize = 4;

/// Judges Levels until a row is enough, and tells whether none was.
fn extend(
    rows: &mut Vec<(Level, MetricRow)>,
    levels: &[Level],
    at: impl Fn(Level) -> (Level, MetricRow) + Sync,
    is_enough: Option<&IsEnough>,
) -> bool {
    let together = is_enough.map_or(levels.len().max(1), |_| TOGETHER);
    levels.chunks(together).all(|levels| {
        let before = rows.len();
        rows.par_extend(levels.par_iter().map(|&level| at(level)));
        !is_enough.is_some_and(|is_enough| rows[before..].iter().any(|(_, row)| is_enough(row)))
    })
}

/// Levels between the worst one and its neighbours.
fn round_worst(rows: &[(Level, MetricRow)], figure: impl Fn(&MetricRow) -> f64) -> Vec<Level> {
    let worst = rows
        .iter()
        .enumerate()
        .max_by(|a, b| figure(&a.1.1).total_cmp(&figure(&b.1.1)));
    let Some((place, _)) = worst else {
        return Vec::new();
    };
    let ends = [
        place.saturating_sub(1),
        place,
        (place + 1).min(rows.len() - 1),
    ]
    .map(|k| rows[k].0.to_bits());
    let between =
        |from: u16, to: u16| (1..=TRIED).map(move |k| from + ((to - from) / (TRIED + 1)) * k);
    between(ends[0], ends[1])
        .chain(between(ends[1], ends[2]))
        .map(Level::from_bits)
        .collect()
}
