//! Goes through all candidates, coarsely.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::Progress;
use super::cache::{Cache, Coarse};
use super::candidate::Candidate;
use super::coarse::{self, Patience};
use super::scores::Scores;
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
