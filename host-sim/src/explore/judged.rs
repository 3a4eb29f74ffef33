//! The Pareto front, whose designs are judged in full.
//!
//! Full metrics are taken stage by stage, cheap ones first, and figures over limits only grow from one to the next: a design that
//! another one beats by what is known of it so far is beaten for good and judged no further. The front is the one that judging
//! every design to the end would give.

use rayon::prelude::*;

use super::cache::{Cache, Coarse};
use super::candidate::Candidate;
use super::pareto::{Aims, beats, front};
use super::plain_siblings::PlainSiblings;
use super::runner::{Found, Runner, design};
use super::scores::Scores;
use super::{Design, Progress, full};
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
        if least.0 && least.1 > 0 {
            now.truncate(1);
        }
        let found: Vec<_> = now
            .par_iter()
            .map(|&place| self.next_stage(place))
            .collect();
        for (place, found) in now.into_iter().zip(found) {
            self.take(place, &found);
        }
        let before = self.runners.len();
        self.runners
            .retain(|runner| runner.design.scores.keep_all());
        self.failed += before - self.runners.len();
        self.judged += before - self.runners.len();
    }

    /// Figures of the next stage, until the design breaks a limit or is beaten; all of them if they are known.
    fn next_stage(&self, place: usize) -> Found {
        let runner = &self.runners[place];
        let Design {
            number, candidate, ..
        } = runner.design;
        if let Some(scores) = self.cache.full(number) {
            let stages = full::STAGES.len();
            return Found { scores, stages };
        }
        let done = self.runners.iter().enumerate();
        let done = done.filter(|(_, other)| other.is_done());
        let done: Vec<_> = done.map(|(j, other)| (j, other.aims())).collect();
        let is_enough = |scores: &Scores| {
            let margin = scores.worst().max(runner.design.margin);
            let aims = runner.aims_with(margin.max(runner.at_least));
            margin > 1.0
                || done
                    .iter()
                    .any(|(j, other)| beats((*j, other), (place, &aims)))
        };
        let stage = full::STAGES[runner.stages];
        let (scores, is_whole) = stage(&candidate.described(self.luminaire), &is_enough);
        let stages = runner.stages + usize::from(is_whole);
        Found { scores, stages }
    }

    fn take(&mut self, place: usize, found: &Found) {
        let runner = &mut self.runners[place];
        runner.take(found);
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

#[cfg(test)]
mod tests {
    use super::{Coarse, Judged, design, front, full, judged_front};
    use crate::description::{BUILT_IN, Description, OperatingRow, parse};
    use crate::explore::pareto::aims;
    use crate::explore::search::all_coarse;
    use crate::explore::{Cache, Candidate, Space};

    /// One channel of the built-in light and few ticks, so that records are short.
    fn luminaire() -> Description {
        let keys = "\n[explore]\ntick_hz_min = 60_000\ntick_hz_max = 64_000\norders = [1, 2]\nstretches = [1, 4]\n\
                    stretch_from_percent = [60.0]\nedge_factors = [1]\nrange_ratios = [1, 8]\n";
        let mut one = parse(&(BUILT_IN.to_owned() + keys), "one").unwrap();
        one.chip = None;
        one.channels.truncate(1);
        one.recipes.truncate(1);
        one.recipes[0].shares = vec![1.0];
        one.channels[0].rows = vec![OperatingRow::PLAIN];
        one.script = Vec::new();
        one.cameras.truncate(1);
        one.cameras[0].lights = vec![1.0];
        one.requirements.lowest_light = 0.1;
        one
    }

    fn found(one: &Description, candidates: &[Candidate], cache: &Cache) -> (Vec<Coarse>, Judged) {
        let coarse = all_coarse(one, candidates, cache, &|_| ());
        let judged = judged_front(one, candidates, &coarse, cache, &|_| ());
        (coarse, judged)
    }

    /// What is left early on is off the front, and what is on it has all its figures.
    #[test]
    fn the_front_is_that_of_all_designs_judged_to_the_end() {
        let one = luminaire();
        let candidates = Space::of(&one).unwrap().candidates;
        let cache = Cache::in_memory("");
        let (coarse, judged) = found(&one, &candidates, &cache);
        let feasible = (0..candidates.len()).filter(|&number| coarse[number].scores.keep_all());
        let feasible: Vec<_> = feasible.collect();
        let whole = |number: usize| {
            let full = full::judge(&candidates[number].described(&one));
            let design = design(&one, &candidates, &coarse, number);
            (design, full.worse(&coarse[number].scores))
        };
        let all = feasible.iter().map(|&number| whole(number));
        let all: Vec<_> = all.filter(|(_, scores)| scores.keep_all()).collect();
        let of = all.iter().map(|(design, scores)| {
            let tick_hz = f64::from(design.candidate.tick_hz);
            aims(
                design.edges_hz,
                design.cycles_a_tick,
                tick_hz,
                scores.worst(),
            )
        });
        let expected = front(&of.collect::<Vec<_>>()).into_iter();
        let expected: Vec<_> = expected
            .map(|place| (all[place].0.number, all[place].1))
            .collect();
        let on_front = judged.front.iter();
        let on_front: Vec<_> = on_front.map(|on| (on.number, on.scores)).collect();
        assert_eq!(on_front, expected);
        assert!(
            judged
                .front
                .iter()
                .all(|on| on.is_judged_in_full && on.margin == on.scores.worst())
        );
        // Some were left early, and they are not told as judged, nor kept as if they were.
        let kept = |number: &&usize| cache.full(**number).is_some();
        let kept = feasible.iter().filter(kept).count();
        assert_eq!(judged.judged - judged.failed, kept);
        assert!(
            kept < feasible.len() && kept >= expected.len(),
            "{kept} {}",
            feasible.len()
        );
        for (number, scores) in expected {
            assert_eq!(judged.known[number], scores);
        }
    }
}
