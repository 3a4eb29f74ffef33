//! The Pareto front, whose designs are judged in full.
//!
//! Full metrics are taken stage by stage, cheap ones first, and figures over limits only grow from one to the next: a design that
//! another one beats by what is known of it so far is beaten for good and judged no further. The front is the one that judging
//! every design to the end would give.

use rayon::prelude::*;

use super::cache::{Cache, Coarse};
use super::candidate::Candidate;
use super::pareto::{Aims, aims, front};
use super::plain_siblings::PlainSiblings;
use super::scores::Scores;
use super::{Design, Progress, full};
use crate::chip::all_cycles_a_tick;
use crate::description::Description;
use crate::run::has_exact_lines;

/// What judging in full found.
pub(super) struct Judged {
    /// The designs on the front, in the order of the candidates.
    pub(super) front: Vec<Design>,
    /// Every candidate's figures, as far as it was looked at.
    pub(super) known: Vec<Scores>,
    /// Designs judged to the end, or until they failed.
    pub(super) judged: usize,
    /// Of those the ones that failed.
    pub(super) failed: usize,
}

/// Judges the designs that may be on the front.
pub(super) fn judged_front(
    luminaire: &Description,
    candidates: &[Candidate],
    coarse: &[Coarse],
    cache: &Cache,
    progress: &(dyn Fn(Progress) + Sync),
) -> Judged {
    let mut field = Field::new(luminaire, candidates, coarse, cache);
    loop {
        let aims: Vec<Aims> = field.runners.iter().map(Runner::aims).collect();
        let front = front(&aims);
        let done = field.judged;
        let open = front
            .iter()
            .filter(|&&place| !field.runners[place].is_done());
        let of = done + open.count();
        progress(Progress::Full { done, of });
        if done == of {
            return field.judged_front(&front);
        }
        field.advance(&front);
    }
}

/// A feasible design, and how far it is judged.
struct Runner {
    design: Design,
    /// What its margin is at the least, while it is not judged to the end.
    at_least: f64,
    /// Stages of full metrics that are taken.
    stages: usize,
    /// Whether lines must be recorded, for minutes.
    is_recorded: bool,
}

impl Runner {
    fn is_done(&self) -> bool {
        self.design.is_judged_in_full
    }

    fn aims(&self) -> Aims {
        let design = &self.design;
        let tick_hz = f64::from(design.candidate.tick_hz);
        let margin = match self.is_done() {
            true => design.margin,
            false => design.margin.max(self.at_least),
        };
        aims(design.edges_hz, design.cycles_a_tick, tick_hz, margin)
    }

    /// Order of what is judged first: what comes early may spare what comes late.
    fn cost(&self) -> (bool, usize) {
        (self.is_recorded, self.stages)
    }

    fn take(&mut self, scores: &Scores, stages: usize) {
        self.stages = stages;
        self.design.scores = self.design.scores.worse(scores);
        self.design.margin = self.design.scores.worst();
        self.design.is_judged_in_full = stages == full::STAGES.len();
    }
}

/// All feasible designs.
struct Field<'a> {
    luminaire: &'a Description,
    cache: &'a Cache,
    runners: Vec<Runner>,
    known: Vec<Scores>,
    judged: usize,
    failed: usize,
}

impl<'a> Field<'a> {
    fn new(
        luminaire: &'a Description,
        candidates: &[Candidate],
        coarse: &[Coarse],
        cache: &'a Cache,
    ) -> Self {
        let feasible = (0..candidates.len()).filter(|&number| coarse[number].scores.keep_all());
        let plain = PlainSiblings::of(candidates);
        let runner = |number: usize| {
            let design = design(luminaire, candidates, coarse, number);
            Runner {
                at_least: plain.margin(&design.candidate, coarse),
                stages: 0,
                is_recorded: !has_exact_lines(&design.candidate.described(luminaire)),
                design,
            }
        };
        Self {
            luminaire,
            cache,
            runners: feasible.map(runner).collect(),
            known: coarse.iter().map(|found| found.scores).collect(),
            judged: 0,
            failed: 0,
        }
    }

    /// Takes the next stage of those of the front that cost least; of records for minutes one at a time, the slowest ticks first.
    fn advance(&mut self, front: &[usize]) {
        let open = || {
            let open = front.iter().copied();
            open.filter(|&place| !self.runners[place].is_done())
        };
        let Some(least) = open().map(|place| self.runners[place].cost()).min() else {
            return;
        };
        let mut now: Vec<usize> = open()
            .filter(|&place| self.runners[place].cost() == least)
            .collect();
        if least == (true, full::STAGES.len() - 1) {
            now.truncate(1);
        }
        let found: Vec<_> = now
            .par_iter()
            .map(|&place| self.next_stage(&self.runners[place]))
            .collect();
        for (place, (scores, stages)) in now.into_iter().zip(found) {
            self.take(place, &scores, stages);
        }
        let before = self.runners.len();
        self.runners
            .retain(|runner| runner.design.scores.keep_all());
        self.failed += before - self.runners.len();
        self.judged += before - self.runners.len();
    }

    /// Figures of the next stage, or all of them if they are known, and how many stages are then taken.
    fn next_stage(&self, runner: &Runner) -> (Scores, usize) {
        let Design {
            number, candidate, ..
        } = runner.design;
        match self.cache.full(number) {
            Some(scores) => (scores, full::STAGES.len()),
            None => {
                let stage = full::STAGES[runner.stages];
                (
                    stage(&candidate.described(self.luminaire)),
                    runner.stages + 1,
                )
            }
        }
    }

    fn take(&mut self, place: usize, scores: &Scores, stages: usize) {
        let runner = &mut self.runners[place];
        runner.take(scores, stages);
        let design = &runner.design;
        self.known[design.number] = design.scores;
        if design.is_judged_in_full {
            self.cache.keep_full(design.number, design.scores);
            self.judged += usize::from(design.scores.keep_all());
        }
    }

    fn judged_front(self, front: &[usize]) -> Judged {
        let front = front
            .iter()
            .map(|&place| self.runners[place].design.clone());
        Judged {
            front: front.collect(),
            known: self.known,
            judged: self.judged,
            failed: self.failed,
        }
    }
}

fn design(
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
