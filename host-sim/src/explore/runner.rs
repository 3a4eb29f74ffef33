//! A design that may be on the front.

use super::cache::Coarse;
use super::candidate::Candidate;
use super::pareto::{Aims, aims};
use super::scores::Scores;
use super::{Design, full};
use crate::chip::all_cycles_a_tick;
use crate::description::Description;

/// A feasible design, and how far it is judged.
pub(super) struct Runner {
    pub(super) design: Design,
    /// What its margin is at the least, while it is not judged to the end.
    pub(super) at_least: f64,
    /// Stages of full metrics that are taken.
    pub(super) stages: usize,
    /// Whether lines must be recorded, for minutes.
    pub(super) is_recorded: bool,
}

impl Runner {
    pub(super) fn is_done(&self) -> bool {
        self.design.is_judged_in_full
    }

    pub(super) fn aims(&self) -> Aims {
        match self.is_done() {
            true => self.aims_with(self.design.margin),
            false => self.aims_with(self.design.margin.max(self.at_least)),
        }
    }

    pub(super) fn aims_with(&self, margin: f64) -> Aims {
        let design = &self.design;
        let tick_hz = f64::from(design.candidate.tick_hz);
        aims(design.edges_hz, design.cycles_a_tick, tick_hz, margin)
    }

    /// Order of what is judged first: what comes early may spare what comes late.
    pub(super) fn cost(&self) -> (bool, usize) {
        (self.is_recorded, self.stages)
    }

    pub(super) fn take(&mut self, found: &Found) {
        self.stages = found.stages;
        self.design.scores = self.design.scores.worse(&found.scores);
        self.design.margin = self.design.scores.worst();
        self.design.is_judged_in_full = found.stages == full::STAGES.len();
    }
}

/// What a stage found, and how many stages are then taken.
pub(super) struct Found {
    pub(super) scores: Scores,
    pub(super) stages: usize,
}

/// A candidate as far as it was looked at coarsely.
pub(super) fn design(
    luminaire: &Description,
    candidates: &[Candidate],
    coarse: &[Coarse],
    number: usize,
) -> Design {
    Design {
        number,
        candidate: candidates[number],
        scores: coarse[number].scores,
        margin: coarse[number].scores.worst(),
        edges_hz: coarse[number].edges_hz,
        cycles_a_tick: all_cycles_a_tick(&candidates[number].described(luminaire)),
        is_judged_in_full: false,
    }
}
