//! The search for the light from which on no limit is broken.
//!
//! Pulse rate, dark gap and the lines' figures are asked of Levels between the highest light that is known to break a limit and the
//! next that keeps all: those of the maps and the cameras' own lights, so that only a few more are looked at.

use milliglow::Level;
use rayon::prelude::*;

use super::super::flicker::{broken, row_at};
use super::super::pulse_survey::Surveyed;
use super::super::rules::Rules;
use crate::description::{Description, LevelChoice};
use crate::run::{Bands, From, MetricMap, core_curve, has_exact_lines, level};

/// Lights a decade that are asked below the maps.
const LIGHTS_A_DECADE: f64 = 8.0;
/// How close two lights are where each must be recorded: a 50th.
const RECORDED_APART: f64 = 1.02;

/// Two Levels, of which the lower one breaks a limit (or is off), and the higher one does not.
pub(super) struct Found {
    pub(super) breaks: Level,
    pub(super) keeps: Level,
}

pub(super) struct Search {
    /// The description without a lowest light of its own.
    free: Description,
    /// Where lights of the description as it is begin to be those of `free`.
    own_lowest: f64,
    rules: Rules,
    recorded: bool,
}

impl Search {
    pub(super) fn new(description: &Description) -> Self {
        let mut free = description.clone();
        free.operating.lowest_light = 0.0;
        let hysteresis = 0.5_f64.powi(description.operating.hysteresis_shift.into());
        Self {
            own_lowest: description.operating.lowest_light * (1.0 + hysteresis),
            rules: Rules::of(description),
            recorded: !has_exact_lines(description),
            free,
        }
    }

    pub(super) fn light(&self, level: Level) -> f64 {
        core_curve(self.free.curve).light(level).as_f64()
    }

    fn level(&self, light: f64) -> Level {
        level(&self.free, LevelChoice::Light(light)).max(Level::from_bits(1))
    }

    /// What the maps and the cameras say: Levels, and whether they keep the limits.
    pub(super) fn known(&self, maps: &[MetricMap], bands: &[Bands]) -> Vec<(Level, bool)> {
        let rows = maps.iter().flat_map(|map| &map.rows);
        let rows = rows.map(|row| (row.light, broken(&self.rules, row).is_none()));
        let cameras = bands.iter().map(|bands| {
            let limit = self.free.cameras[bands.camera].contrast;
            (bands.light, bands.contrast <= limit)
        });
        let mut known: Vec<_> = rows
            .chain(cameras)
            .filter(|(light, _)| *light >= self.own_lowest)
            .map(|(light, keeps)| (self.level(light), keeps))
            .collect();
        known.sort_unstable();
        known
    }

    /// The lowest Level from which on all that is known, or asked on the way, keeps the limits; none if full light does not.
    pub(super) fn lowest(&self, known: Vec<(Level, bool)>) -> Option<Found> {
        let breaks = known.iter().rev().find(|(_, keeps)| !keeps);
        let below = breaks.map_or(Level::OFF, |(level, _)| *level);
        let keeps = known.iter().find(|(level, _)| *level > below);
        let keeps = keeps.map_or(Level::FULL, |(level, _)| *level);
        if below == Level::FULL || self.broken(keeps).is_some() {
            // The maps do not judge pulses: full light has none.
            return (keeps < Level::FULL && self.broken(Level::FULL).is_none())
                .then(|| self.settled(keeps, Level::FULL));
        }
        Some(self.settled(below, keeps))
    }

    /// Closer and closer, until no light asked between the one found and the one that keeps breaks a limit.
    fn settled(&self, below: Level, keeps: Level) -> Found {
        let found = self.between(below, keeps);
        let (from, to) = (self.light(found.keeps), self.light(keeps));
        let count = ((to / from).log10() * LIGHTS_A_DECADE).ceil();
        let lights = (1..count as u32).map(|k| from * (to / from).powf(f64::from(k) / count));
        let asked: Vec<_> = lights.map(|light| self.level(light)).collect();
        let breaks = asked
            .into_par_iter()
            .filter(|&level| level > found.keeps && self.broken(level).is_some())
            .max();
        match breaks {
            Some(level) => self.settled(level, keeps),
            None => found,
        }
    }

    fn between(&self, mut below: Level, mut keeps: Level) -> Found {
        while keeps.to_bits() - below.to_bits() > 1 && !self.close(below, keeps) {
            let middle = Level::from_bits(u16::midpoint(below.to_bits(), keeps.to_bits()));
            if self.broken(middle).is_some() {
                below = middle;
            } else {
                keeps = middle;
            }
        }
        Found {
            breaks: below,
            keeps,
        }
    }

    fn close(&self, below: Level, keeps: Level) -> bool {
        self.recorded && self.light(keeps) < RECORDED_APART * self.light(below)
    }

    /// A recipe that breaks a limit at a Level, and which; none in the dark.
    pub(super) fn broken(&self, level: Level) -> Option<(usize, &'static str)> {
        if level == Level::OFF {
            return None;
        }
        let recipes = (0..self.free.recipes.len()).into_par_iter();
        recipes.find_map_first(|recipe| {
            let broken = self
                .pulses(recipe, level)
                .or_else(|| broken(&self.rules, &row_at(&self.free, recipe, level)));
            broken.map(|limit| (recipe, limit))
        })
    }

    fn pulses(&self, recipe: usize, level: Level) -> Option<&'static str> {
        let slowest_hz = f64::from(self.free.tick_hz) * (1.0 - self.free.tick_tolerance);
        let mut surveyed = Surveyed::new(&self.free, recipe);
        let channels = surveyed.at(level, From::Below).into_iter().flatten();
        let broken = channels.map(|(density, pulses)| {
            let gap = pulses.longest_dark_ticks / slowest_hz > self.rules.dark_gap.limit;
            let slow = density <= 0.5 && pulses.a_tick * slowest_hz < self.rules.pulse_rate.limit;
            match (slow, gap) {
                (true, _) => Some(self.rules.pulse_rate.name),
                (_, true) => Some(self.rules.dark_gap.name),
                _ => None,
            }
        });
        broken.flatten().next()
    }
}

#[cfg(test)]
mod tests {
    use super::Search;
    use crate::check::one_channel::one_channel;
    use crate::description::OperatingRow;
    use crate::run::{MetricMap, MetricRow};
    use milliglow::Level;

    /// What is found keeps the limits, and the Level below does not.
    #[test]
    fn the_level_found_is_the_last_that_keeps() {
        let search = Search::new(&one_channel());
        let found = search.settled(Level::OFF, Level::FULL);
        assert_eq!(search.broken(found.keeps), None);
        assert_eq!(found.breaks.to_bits() + 1, found.keeps.to_bits());
        assert_eq!(search.broken(found.breaks), Some((0, "no effect")));
    }

    /// Pulses are judged at the slowest clock, gaps by themselves, and rates not where gaps are single ticks.
    #[test]
    fn pulses_and_gaps_have_limits_of_their_own() {
        let broken = |pulse_hz, dark_gap_s, tolerance, light| {
            let mut one = one_channel();
            one.tick_tolerance = tolerance;
            let asked = &mut one.requirements;
            (asked.pulse_hz, asked.dark_gap_s) = (pulse_hz, dark_gap_s);
            let search = Search::new(&one);
            search.pulses(0, search.level(light))
        };
        // 5 MHz x 0.0004: 2 kHz, and half a millisecond.
        assert_eq!(broken(1_900.0, 1.0, 0.0, 4e-4), None);
        assert_eq!(broken(1_900.0, 1.0, 0.1, 4e-4), Some("pulse rate"));
        assert_eq!(broken(1.0, 0.52e-3, 0.0, 4e-4), None);
        assert_eq!(broken(1.0, 0.48e-3, 0.0, 4e-4), Some("dark gap"));
        assert_eq!(broken(1_900.0, 1.0, 0.0, 0.999_9), None);
    }

    /// Lights below a file's own lowest, hysteresis included, are not those of their Levels.
    #[test]
    fn what_lies_below_the_file_s_own_lowest_light_is_not_known() {
        let mut own = one_channel();
        own.operating.lowest_light = 0.002;
        own.operating.hysteresis_shift = 3;
        let rows = [0.001, 0.002_2, 0.002_3, 0.5].map(|light| MetricRow {
            light,
            ..MetricRow::default()
        });
        let map = MetricMap {
            recipe: 0,
            rows: rows.to_vec(),
        };
        let search = Search::new(&own);
        let known = search.known(&[map], &[]);
        assert_eq!(
            known,
            [0.002_3, 0.5].map(|light| (search.level(light), true))
        );
    }

    /// The maps do not judge pulses: what they let pass is asked.
    #[test]
    fn what_the_maps_let_pass_may_break_by_its_pulses() {
        let search = Search::new(&one_channel());
        let found = search.lowest(vec![(search.level(1e-4), true), (search.level(0.01), true)]);
        let light = search.light(found.unwrap().keeps);
        assert!((light / 6.0e-4 - 1.0).abs() < 2e-3, "{light}");
        let mut hopeless = one_channel();
        hopeless.recipes[0].shares = vec![0.7];
        hopeless.requirements.dark_gap_s = 1e-9;
        let search = Search::new(&hopeless);
        assert!(search.lowest(vec![(search.level(0.01), true)]).is_none());
    }

    /// A row that ends too early leaves a gap above lights that keep all: 3 kHz take 0.19 % in the lower range, and 1.5 % above it.
    #[test]
    fn a_gap_above_lights_that_keep_all_is_found() {
        let mut gap = one_channel();
        gap.tick_hz = 200_000;
        let low = OperatingRow {
            range_ratio: 8.0,
            ..OperatingRow::PLAIN
        };
        let high = OperatingRow {
            from_light: 0.005,
            ..OperatingRow::PLAIN
        };
        gap.channels[0].rows = vec![low, high];
        let search = Search::new(&gap);
        let light = search.light(search.settled(Level::OFF, Level::FULL).keeps);
        assert!((light / 0.015 - 1.0).abs() < 2e-3, "{light}");
    }
}
