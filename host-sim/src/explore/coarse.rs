//! Coarse metrics: the code of `check` at few lights, cheapest first, so that most of the hopeless cost little.
//!
//! Whatever is found to break a limit here breaks it in a check as well, for a check looks at these lights and more. Where
//! streams have no closed form, pulses are counted at the lowest light and bounded by the density elsewhere, lines are recorded
//! at two lights, and cameras are left to the full metrics.

use milliglow::Level;

use super::candidate::is_possible;
use super::no_effect::Pulsing;
use super::scores::{DRIVER, Scores};
use crate::check::glimpse::{Limits, bands_at, grid, has_closed_form, pulses_at, row_at};
use crate::description::{Description, LevelChoice, Modulation};
use crate::metrics::first_order;
use crate::run::{BOTH_WAYS, Driven, From, Stand, Standing, TEST_LIGHTS, level};

/// How long a candidate is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Patience {
    /// Until a requirement is broken.
    FirstBreak,
    /// Through all, so that every figure is known.
    All,
}

/// Pulses that a count over a second may be off where only the density is known.
const COUNT_SLACK_HZ: f64 = 3.0;
/// By how much the closed form of the no-effect condition must be missed to be believed.
const SURELY: f64 = 1.05;
/// Lights of the grid left out between two whose lines are taken.
const LEFT_OUT: usize = 12;

pub(super) fn judge<'d>(description: &'d Description, patience: Patience) -> Scores {
    if !is_possible(description) {
        return impossible();
    }
    let mut look = Look::new(description);
    let steps: [fn(&mut Look<'d>); 7] = [
        Look::pulses_of_the_lowest,
        Look::no_effect,
        Look::counted_pulses,
        Look::lowest_lines,
        Look::pulses,
        Look::other_lines,
        Look::cameras,
    ];
    for step in steps {
        step(&mut look);
        if patience == Patience::FirstBreak && !look.scores.keep_all() {
            break;
        }
    }
    look.scores
}

/// Figures of what depends on more than the lowest lights, for a luminaire without closed lines that is the same there as one
/// that was judged: up to [`recorded_up_to`].
pub(super) fn judge_above(description: &Description) -> Scores {
    if !is_possible(description) {
        return impossible();
    }
    let mut look = Look::new(description);
    look.pulses();
    look.scores
}

fn impossible() -> Scores {
    let mut scores = Scores::default();
    scores.see(DRIVER, f64::INFINITY);
    scores
}

/// Whether lines and bands are known in closed form.
pub(super) fn has_closed_lines(description: &Description) -> bool {
    has_closed_form(description)
        && Driven::all(description)
            .iter()
            .all(|channel| channel.edges_add_up)
}

/// The brightest light at which lines are recorded.
pub(super) fn recorded_up_to(description: &Description) -> f64 {
    RECORDED.max(description.requirements.lowest_light)
}

const RECORDED: f64 = TEST_LIGHTS[3];

struct Look<'a> {
    description: &'a Description,
    limits: Limits,
    driven: Vec<Driven>,
    /// Whether pulses, and whether lines, have a closed form.
    pulses_closed: bool,
    lines_closed: bool,
    grid: Vec<Level>,
    scores: Scores,
}

impl<'a> Look<'a> {
    fn new(description: &'a Description) -> Self {
        let driven = Driven::all(description);
        let pulses_closed = has_closed_form(description);
        Self {
            description,
            limits: Limits::of(description),
            pulses_closed,
            lines_closed: has_closed_lines(description),
            driven,
            grid: grid(description),
            scores: Scores::default(),
        }
    }

    fn tick_hz(&self) -> f64 {
        f64::from(self.description.tick_hz)
    }

    /// Frequencies are judged at the worst of the tick rate's tolerance.
    fn slowest_hz(&self) -> f64 {
        self.tick_hz() * (1.0 - self.description.tick_tolerance)
    }

    fn recipes(&self) -> std::ops::Range<usize> {
        0..self.description.recipes.len()
    }

    fn lowest(&self) -> Level {
        let light = LevelChoice::Light(self.description.requirements.lowest_light);
        level(self.description, light).max(Level::from_bits(1))
    }

    fn pulses_of_the_lowest(&mut self) {
        self.pulses_at(|look, _| vec![look.lowest()]);
    }

    fn counted_pulses(&mut self) {
        if self.pulses_closed {
            return;
        }
        let slowest_hz = self.slowest_hz();
        for recipe in self.recipes() {
            let channels = pulses_at(self.description, recipe, self.lowest());
            for (density, pulses) in channels.into_iter().flatten() {
                let dark_s = pulses.longest_dark_ticks / slowest_hz;
                self.see_pulses(density, pulses.a_tick * slowest_hz, dark_s);
            }
        }
    }

    fn pulses(&mut self) {
        self.pulses_at(|look, recipe| {
            let changes = if look.pulses_closed {
                look.row_changes(recipe)
            } else {
                Vec::new()
            };
            look.grid.iter().copied().chain(changes).collect()
        });
    }

    fn pulses_at(&mut self, levels: impl Fn(&Self, usize) -> Vec<Level>) {
        for recipe in self.recipes() {
            let mut standing = Standing::new(self.description, recipe);
            let ways: &[From] = if self.pulses_closed {
                &BOTH_WAYS
            } else {
                &[From::Below]
            };
            for level in levels(self, recipe) {
                for &way in ways {
                    let stands = standing.at(level, way);
                    let channels = self.driven.iter().zip(&stands);
                    let pulses: Vec<_> = channels
                        .filter_map(|(driven, stand)| self.pulsing(driven, stand))
                        .collect();
                    pulses.into_iter().for_each(|(density, hertz, dark_s)| {
                        self.see_pulses(density, hertz, dark_s)
                    });
                }
            }
        }
    }

    /// A lit channel's density, pulses a second and longest dark gap in seconds: exact, or at the best.
    fn pulsing(&self, driven: &Driven, stand: &Stand) -> Option<(f64, f64, f64)> {
        let slowest_hz = self.slowest_hz();
        let pulses = first_order(stand.density)?.stretched(driven.stretches[stand.row]);
        let density = stand.density.as_f64();
        if self.pulses_closed {
            return Some((
                density,
                pulses.a_tick * slowest_hz,
                pulses.longest_dark_ticks / slowest_hz,
            ));
        }
        let most_hz = pulses.a_tick * slowest_hz + COUNT_SLACK_HZ;
        Some((density, most_hz, (1.0 - density) / most_hz))
    }

    fn see_pulses(&mut self, density: f64, hertz: f64, dark_s: f64) {
        self.scores
            .see(self.limits.dark_gap.id, dark_s / self.limits.dark_gap.limit);
        if density <= 0.5 {
            self.scores.see(
                self.limits.pulse_rate.id,
                self.limits.pulse_rate.limit / hertz,
            );
        }
    }

    /// The closed form at the lowest light, where it is sure.
    fn no_effect(&mut self) {
        if !self.lines_closed {
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

    fn lowest_lines(&mut self) {
        let lowest = self.lowest();
        for recipe in self.recipes() {
            self.see_lines(recipe, lowest);
        }
    }

    fn other_lines(&mut self) {
        let lowest = self.lowest();
        for recipe in self.recipes() {
            let mut levels = if self.lines_closed {
                self.few_levels(recipe)
            } else {
                self.two_levels()
            };
            levels.sort_unstable();
            levels.dedup();
            for level in levels.into_iter().filter(|level| *level > lowest) {
                self.see_lines(recipe, level);
            }
        }
    }

    /// Test lights, every twelfth of the grid, and those above each change of a row.
    fn few_levels(&self, recipe: usize) -> Vec<Level> {
        let tests = TEST_LIGHTS.map(|light| level(self.description, LevelChoice::Light(light)));
        let changes = self.row_changes(recipe);
        let above = changes
            .iter()
            .filter_map(|change| self.grid.iter().find(|level| *level >= change).copied());
        tests
            .into_iter()
            .chain(self.grid.iter().copied().step_by(LEFT_OUT))
            .chain(above)
            .collect()
    }

    fn two_levels(&self) -> Vec<Level> {
        vec![level(self.description, LevelChoice::Light(RECORDED))]
    }

    fn see_lines(&mut self, recipe: usize, level: Level) {
        let row = row_at(self.description, recipe, level);
        let seen = [
            (self.limits.svm, row.svm),
            (self.limits.low_risk, row.low_risk),
            (self.limits.no_effect, row.no_effect),
            (self.limits.seizure, row.below_90_hz),
            (self.limits.visibility, row.visibility),
        ];
        for (rule, value) in seen {
            self.scores.see(rule.id, value / rule.limit);
        }
    }

    fn cameras(&mut self) {
        if !self.lines_closed {
            return;
        }
        for (camera, described) in self.description.cameras.iter().enumerate() {
            for recipe in self.recipes() {
                for &light in &described.lights {
                    let over = bands_at(self.description, camera, recipe, light);
                    self.scores.see("camera_bands", over.unwrap_or(0.0));
                }
            }
        }
    }

    /// The Levels of steady light from which on, going up, a channel of a recipe is in another row.
    fn row_changes(&self, recipe: usize) -> Vec<Level> {
        let shares = self.description.recipes[recipe].shares.iter();
        let lit = shares
            .zip(&self.description.channels)
            .filter(|(share, _)| **share > 0.0);
        let lights = lit.flat_map(|(share, channel)| {
            channel
                .rows
                .iter()
                .skip(1)
                .map(move |row| row.from_light / share)
        });
        let lowest = self.lowest();
        let levels = lights.filter(|light| *light < 1.0).map(|light| {
            let below = level(self.description, LevelChoice::Light(light));
            Level::from_bits(below.to_bits().saturating_add(1))
        });
        levels.filter(|level| *level >= lowest).collect()
    }
}

/// Rising and falling edges a second of all channels together, at the light that has most of them. Of streams without a
/// closed form what their density allows; a timer's pulses come once a period.
pub(super) fn most_edges_hz(description: &Description) -> f64 {
    let driven = Driven::all(description);
    let tick_hz = f64::from(description.tick_hz);
    let mut most = 0.0_f64;
    for recipe in 0..description.recipes.len() {
        let mut standing = Standing::new(description, recipe);
        for level in grid(description) {
            let stands = standing.at(level, From::Below);
            let channels = driven.iter().zip(&stands).zip(&description.channels);
            let edges = channels.map(|((driven, stand), channel)| {
                let pulses = first_order(stand.density).map_or(0.0, |pulses| pulses.a_tick);
                let pulses = match channel.modulation {
                    Modulation::Timer { bits, .. } => pulses.min(1.0 / f64::from(1_u32 << bits)),
                    _ => pulses / f64::from(driven.stretches[stand.row]),
                };
                2.0 * tick_hz * pulses
            });
            most = most.max(edges.sum());
        }
    }
    most
}
