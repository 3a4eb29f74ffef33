//! Coarse metrics: the code of `check` at few lights, cheapest first, so that most of the hopeless cost little.
//!
//! Whatever is found to break a limit here breaks it in a check as well, for a check looks at these lights and more. Where
//! streams have no closed form, pulses are counted at the lowest light and bounded by the density elsewhere, lines are recorded
//! at two lights, and cameras look at no brighter ones.

mod edges;
mod lines;
mod pulses;

pub(super) use edges::most_edges_hz;

use milliglow::Level;

use super::candidate::is_possible;
use super::scores::{DRIVER, Scores};
use crate::check::glimpse::{Limits, grid, has_closed_form};
use crate::description::{Description, LevelChoice};
use crate::run::{Driven, level};

/// How long a candidate is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Patience {
    /// Until a requirement is broken.
    FirstBreak,
    /// Through all, so that every figure is known.
    All,
}

pub(super) fn judge<'d>(description: &'d Description, patience: Patience) -> Scores {
    if !is_possible(description) {
        return impossible();
    }
    let mut look = Look::new(description);
    look.is_quick = patience == Patience::FirstBreak;
    // A record for a camera is shorter than one for lines.
    let steps: [fn(&mut Look<'d>); 7] = match look.lines_closed {
        true => [
            Look::pulses_of_the_lowest,
            Look::no_effect,
            Look::counted_pulses,
            Look::lowest_lines,
            Look::pulses,
            Look::other_lines,
            Look::cameras,
        ],
        false => [
            Look::pulses_of_the_lowest,
            Look::pulses,
            Look::cameras,
            Look::counted_pulses,
            Look::lowest_lines,
            Look::other_lines,
            Look::no_effect,
        ],
    };
    for step in steps {
        if look.is_quick && !look.scores.keep_all() {
            break;
        }
        step(&mut look);
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

/// The brightest light at which lines are recorded and cameras look.
pub(super) fn recorded_up_to(description: &Description) -> f64 {
    2.0 * RECORDED.max(description.requirements.lowest_light)
}

/// A light at which lines are recorded: not far below the next of the grid.
const RECORDED: f64 = 0.01;

struct Look<'a> {
    description: &'a Description,
    limits: Limits,
    driven: Vec<Driven>,
    /// Whether pulses, and whether lines, have a closed form.
    pulses_closed: bool,
    lines_closed: bool,
    grid: Vec<Level>,
    /// Whether a formula that comes near the lines will do where it is sure.
    is_quick: bool,
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
            is_quick: false,
            scores: Scores::of_chip(description),
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
