//! The design search: which tick rates, modulations, stretches and current ranges let a luminaire meet its requirements.
//!
//! All combinations that `[explore]` allows are judged by the code of [`check`](crate::check): coarsely first, at few lights and
//! until a requirement is broken, then in full where a design is on the Pareto front. The order of candidates, and so the
//! result, is fixed, however many threads work on it.
//!
//! *Limits*: one modulation and one table for all channels. Averages, colour and fades are left to a check.

#[cfg(test)]
mod agreement;
mod cache;
mod candidate;
mod coarse;
mod full;
mod judged;
mod no_effect;
mod pareto;
mod plain_siblings;
mod relax;
mod runner;
mod scores;
mod search;
mod space;
mod tick_rates;
mod written;

pub use cache::{Cache, Opened};
pub use candidate::{Candidate, LowerRange, Stretched};
pub use no_effect::{Pulsing, least_product_hz};
pub use relax::{Empty, Relaxation};
pub use scores::{REQUIREMENTS, Scores, name};
pub use space::{MOST_CANDIDATES, Space, SpaceError};
pub use tick_rates::TickRates;
pub use written::written;

use crate::description::Description;

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Progress {
    /// Candidates looked at coarsely.
    Coarse {
        /// So many are done.
        done: usize,
        /// Of so many.
        of: usize,
    },
    /// Designs judged in full, as far as the front is known.
    Full {
        /// So many are done.
        done: usize,
        /// Of so many, and perhaps more.
        of: usize,
    },
}

/// A candidate that is feasible.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// Its number among the candidates.
    pub number: usize,
    /// What it is made of.
    pub candidate: Candidate,
    /// How far it stays within each requirement; the worse of coarse and full figures.
    pub scores: Scores,
    /// The worst of its figures over its limit.
    pub margin: f64,
    /// Rising and falling edges a second of all channels, at the light that has most.
    pub edges_hz: f64,
    /// Cycles a tick of all channels, by the ledger: see [`all_cycles_a_tick`](crate::chip::all_cycles_a_tick).
    pub cycles_a_tick: f64,
    /// Whether the full metrics were taken.
    pub is_judged_in_full: bool,
}

impl Design {
    /// Cycles a second that the streams cost, over the chip's.
    #[must_use]
    pub fn chip_load(&self, chip_hz: u32) -> f64 {
        self.cycles_a_tick * f64::from(self.candidate.tick_hz) / f64::from(chip_hz)
    }
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Explored {
    /// The luminaire.
    pub description: Description,
    /// What was searched.
    pub space: Space,
    /// Each candidate's edges a second and worst figure over its limit as far as it was looked at, in their order.
    pub looked_at: Vec<(f64, f64)>,
    /// Candidates that pass the coarse metrics, less those that then failed in full.
    pub feasible: usize,
    /// The Pareto front, each design judged in full, in the order of the candidates.
    pub front: Vec<Design>,
    /// Designs judged in full, or until a requirement was broken.
    pub judged_in_full: usize,
    /// Of those the ones that failed.
    pub failed_in_full: usize,
    /// Why nothing is feasible.
    pub empty: Option<Empty>,
}

/// Searches a space.
pub fn explore(
    description: &Description,
    space: Space,
    cache: &Cache,
    progress: &(dyn Fn(Progress) + Sync),
) -> Explored {
    let candidates = &space.candidates;
    let coarse = search::all_coarse(description, candidates, cache, progress);
    let judged::Judged {
        front,
        known,
        judged,
        failed,
    } = judged::judged_front(description, candidates, &coarse, cache, progress);
    let passed = coarse
        .iter()
        .filter(|found| found.scores.keep_all())
        .count();
    let empty = front.is_empty().then(|| {
        let figures = search::all_figures(description, candidates);
        let figures: Vec<_> = figures
            .into_iter()
            .map(|(number, all)| (number, all.worse(&known[number])))
            .collect();
        relax::empty(description, candidates, &known, &figures)
    });
    Explored {
        looked_at: coarse
            .iter()
            .zip(&known)
            .map(|(found, scores)| (found.edges_hz, scores.worst()))
            .collect(),
        description: description.clone(),
        feasible: passed - failed,
        judged_in_full: judged,
        failed_in_full: failed,
        front,
        empty,
        space,
    }
}
