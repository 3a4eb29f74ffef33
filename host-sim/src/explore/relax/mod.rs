//! What stands in the way of every design, and the smallest changes that would let one pass.

mod changes;
mod limits;
mod values;

use changes::{deeper, faster, wider};
use limits::relaxed_limits;

use super::candidate::Candidate;
use super::scores::{DRIVER, REQUIREMENTS, Scores};
use crate::description::Description;

/// Something that is changed, from one value to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Relaxation {
    /// What: a key of the luminaire's file, with its table.
    pub key: &'static str,
    /// Value before, in the key's unit.
    pub from: f64,
    /// The least value that lets the design pass, in the key's unit; found in steps of 5 % where designs must be tried.
    pub to: f64,
    /// The larger of both over the smaller: what the change costs.
    pub factor: f64,
    /// The design that passes then.
    pub design: Candidate,
    /// What to mind; may be empty.
    pub note: &'static str,
}

/// A luminaire for which no candidate is feasible.
#[derive(Clone, Debug, PartialEq)]
pub struct Empty {
    /// The requirement that most candidates break, with their number.
    pub obstacle: (&'static str, usize),
    /// The same for each requirement that any candidate breaks.
    pub broken: Vec<(&'static str, usize)>,
    /// Single changes that let a design pass, the cheapest first; each was judged in full.
    pub relaxations: Vec<Relaxation>,
}

/// Designs that a change is tried on.
const TRIED: usize = 4;

/// `figures` holds every figure of some candidates; `scores` is what is known of each.
pub(in crate::explore) fn empty(
    luminaire: &Description,
    candidates: &[Candidate],
    scores: &[Scores],
    figures: &[(usize, Scores)],
) -> Empty {
    let known = |number: usize| {
        figures
            .iter()
            .find(|(found, _)| *found == number)
            .map(|(_, all)| *all)
    };
    let best: Vec<Scores> = (0..candidates.len())
        .map(|number| known(number).map_or(scores[number], |all| all.worse(&scores[number])))
        .collect();
    let count = |id: &str| best.iter().filter(|scores| scores.over(id) > 1.0).count();
    let mut broken: Vec<_> = REQUIREMENTS
        .map(|(id, _)| (id, count(id)))
        .into_iter()
        .filter(|(_, count)| *count > 0)
        .collect();
    // Stable: of equals the one that is looked at first.
    broken.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let mut relaxations = relaxed_limits(luminaire, candidates, figures);
    let order = nearest(&best);
    let bases: Vec<Candidate> = order
        .iter()
        .take(TRIED)
        .map(|&number| candidates[number])
        .collect();
    relaxations.extend(deeper(luminaire, &bases));
    relaxations.extend(faster(luminaire, candidates, &order));
    relaxations.extend(wider(luminaire, &bases));
    relaxations.sort_by(|one, other| one.factor.total_cmp(&other.factor));
    Empty {
        obstacle: broken.first().copied().unwrap_or((DRIVER, 0)),
        broken,
        relaxations,
    }
}

/// Candidates by how near they are to passing.
fn nearest(scores: &[Scores]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..scores.len())
        .filter(|&number| scores[number].worst().is_finite())
        .collect();
    order.sort_by(|&one, &other| scores[one].worst().total_cmp(&scores[other].worst()));
    order
}

fn change(
    key: &'static str,
    from: f64,
    to: f64,
    design: Candidate,
    note: &'static str,
) -> Relaxation {
    Relaxation {
        key,
        from,
        to,
        factor: (to / from).max(from / to),
        design,
        note,
    }
}

#[cfg(test)]
mod tests {
    use super::{DRIVER, Scores, nearest};

    #[test]
    fn the_nearest_come_first_and_the_impossible_not_at_all() {
        let scores = [2.0, 1.5, f64::INFINITY, 3.0].map(|over| {
            let mut scores = Scores::default();
            scores.see(DRIVER, over);
            scores
        });
        assert_eq!(nearest(&scores), [1, 0, 3]);
    }
}
