//! Goes through all candidates, coarsely, and through the front in full.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::cache::{Cache, Coarse};
use super::candidate::Candidate;
use super::coarse::{self, Patience};
use super::pareto::{Aims, aims, front};
use super::scores::Scores;
use super::{Design, Progress, full};
use crate::chip::all_cycles_a_tick;
use crate::description::{Description, Modulation};

/// A design must break a limit by so much before others that are the same at the lights that matter share its fate: what
/// differs between them are the phases of channels.
const BY_FAR: f64 = 1.5;

/// Every candidate's coarse figures, in their order.
pub(super) fn all_coarse(
    luminaire: &Description,
    candidates: &[Candidate],
    cache: &Cache,
    progress: &(dyn Fn(Progress) + Sync),
) -> Vec<Coarse> {
    let done = AtomicUsize::new(0);
    let mut begin = 0;
    let groups = candidates
        .chunk_by(|one, next| one.differs_by_stretch(next))
        .map(|group| {
            let numbered = (begin, group);
            begin += group.len();
            numbered
        });
    let groups: Vec<_> = groups.collect();
    let of_group = |&(first, group): &(usize, &[Candidate])| {
        let found = coarse_group(luminaire, first, group, cache);
        let done = done.fetch_add(group.len(), Ordering::Relaxed) + group.len();
        progress(Progress::Coarse {
            done,
            of: candidates.len(),
        });
        found
    };
    groups.par_iter().map(of_group).collect::<Vec<_>>().concat()
}

/// Candidates that differ by their stretch alone: where lines must be recorded, which takes long, they share what is the same.
fn coarse_group(
    luminaire: &Description,
    first: usize,
    group: &[Candidate],
    cache: &Cache,
) -> Vec<Coarse> {
    let mut base: Option<Scores> = None;
    let each = group.iter().enumerate().map(|(k, candidate)| {
        if let Some(known) = cache.coarse(first + k) {
            return known;
        }
        let described = candidate.described(luminaire);
        let shares =
            !coarse::has_closed_lines(&described) && is_plain_where_recorded(candidate, luminaire);
        let scores = match base.filter(|_| shares) {
            Some(base) => coarse::judge_above(&described).worse(&base),
            None => coarse::judge(&described, Patience::FirstBreak),
        };
        if shares && (scores.keep_all() || scores.worst() >= BY_FAR) {
            base = base.or(Some(scores));
        }
        let edges_hz = coarse::most_edges_hz(&described);
        let coarse = Coarse { scores, edges_hz };
        cache.keep_coarse(first + k, coarse);
        coarse
    });
    each.collect()
}

/// Whether no channel is stretched at the lights where lines are recorded.
fn is_plain_where_recorded(candidate: &Candidate, luminaire: &Description) -> bool {
    let light = coarse::recorded_up_to(luminaire);
    let stretched = candidate.stretched;
    stretched.is_none_or(|stretched| stretched.from_percent / 100.0 > light)
}

/// The designs on the front, each judged in full, in the order of the candidates; how many were judged; how many of them failed.
///
/// A full figure is never better than a coarse one, so what a fully judged design beats by its coarse margin it beats for good.
pub(super) fn judged_front(
    luminaire: &Description,
    candidates: &[Candidate],
    coarse: &[Coarse],
    cache: &Cache,
    progress: &(dyn Fn(Progress) + Sync),
) -> (Vec<Design>, usize, usize) {
    let feasible = (0..candidates.len()).filter(|&number| coarse[number].scores.keep_all());
    let plain = PlainSiblings::of(candidates);
    let mut designs: Vec<_> = feasible
        .map(|number| {
            let mut design = design(luminaire, candidates, coarse, number);
            design.margin = design.margin.max(plain.margin(&design.candidate, coarse));
            design
        })
        .collect();
    let (mut judged, mut failed) = (0, 0);
    loop {
        let aims: Vec<Aims> = designs.iter().map(Design::aims).collect();
        let front = front(&aims);
        let open: Vec<usize> = front
            .iter()
            .copied()
            .filter(|&place| !designs[place].is_judged_in_full)
            .collect();
        if open.is_empty() {
            return (
                front
                    .into_iter()
                    .map(|place| designs[place].clone())
                    .collect(),
                judged,
                failed,
            );
        }
        let done = AtomicUsize::new(judged);
        let of = judged + open.len();
        let of_place = |&place: &usize| {
            let scores = full_scores(luminaire, &designs[place], cache);
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            progress(Progress::Full { done, of });
            scores
        };
        let found: Vec<Scores> = open.par_iter().map(of_place).collect();
        for (place, scores) in open.iter().zip(found) {
            designs[*place].take_full(&scores);
        }
        judged += open.len();
        let before = designs.len();
        designs.retain(|design| design.scores.keep_all());
        failed += before - designs.len();
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

/// The first-order designs beside dithered ones and ones of second order.
///
/// No stream of a density spreads its ones more evenly over windows of any length (in some windows there are at least as many as the
/// density makes of it, rounded up, in some at most as many, rounded down), so that until they are judged in full the others are
/// taken to be no better. It saves records of minutes.
struct PlainSiblings(BTreeMap<String, usize>);

impl PlainSiblings {
    fn of(candidates: &[Candidate]) -> Self {
        let plain = candidates.iter().enumerate();
        let plain = plain.filter(|(_, candidate)| candidate.modulation == Modulation::FirstOrder);
        Self(
            plain
                .map(|(number, candidate)| (format!("{candidate:?}"), number))
                .collect(),
        )
    }

    fn margin(&self, candidate: &Candidate, coarse: &[Coarse]) -> f64 {
        let streams = matches!(
            candidate.modulation,
            Modulation::Dithered { .. } | Modulation::SecondOrder
        );
        let plain = Candidate {
            modulation: Modulation::FirstOrder,
            ..*candidate
        };
        let sibling = self.0.get(&format!("{plain:?}")).filter(|_| streams);
        sibling.map_or(0.0, |&number| coarse[number].scores.worst())
    }
}

fn full_scores(luminaire: &Description, design: &Design, cache: &Cache) -> Scores {
    cache.full(design.number).unwrap_or_else(|| {
        let scores = full::judge(&design.candidate.described(luminaire));
        cache.keep_full(design.number, scores);
        scores
    })
}

impl Design {
    fn aims(&self) -> Aims {
        let tick_hz = f64::from(self.candidate.tick_hz);
        aims(self.edges_hz, self.cycles_a_tick, tick_hz, self.margin)
    }

    fn take_full(&mut self, scores: &Scores) {
        self.scores = self.scores.worse(scores);
        self.margin = self.scores.worst();
        self.is_judged_in_full = true;
    }
}

/// Every figure of the candidates that have a closed form, by their number.
pub(super) fn all_figures(
    luminaire: &Description,
    candidates: &[Candidate],
) -> Vec<(usize, Scores)> {
    let closed = candidates.par_iter().enumerate();
    let closed = closed.filter(|(_, candidate)| candidate.modulation == Modulation::FirstOrder);
    closed
        .map(|(number, candidate)| {
            let described = candidate.described(luminaire);
            (number, coarse::judge(&described, Patience::All))
        })
        .collect()
}
