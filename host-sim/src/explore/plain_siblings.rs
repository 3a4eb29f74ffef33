//! The first-order designs beside dithered ones and ones of second order.

use std::collections::BTreeMap;

use super::cache::Coarse;
use super::candidate::Candidate;
use crate::description::Modulation;

/// The first-order designs beside dithered ones and ones of second order, by what they share.
///
/// No stream of a density spreads its ones more evenly over windows of any length (in some windows there are at least as many as the
/// density makes of it, rounded up, in some at most as many, rounded down), so that until they are judged in full the others are
/// taken to be no better. It saves records of minutes.
pub(super) struct PlainSiblings(BTreeMap<String, usize>);

impl PlainSiblings {
    pub(super) fn of(candidates: &[Candidate]) -> Self {
        let plain = candidates.iter().enumerate();
        let plain = plain.filter(|(_, candidate)| candidate.modulation == Modulation::FirstOrder);
        Self(
            plain
                .map(|(number, candidate)| (format!("{candidate:?}"), number))
                .collect(),
        )
    }

    /// The sibling's worst coarse figure over its limit; 0 where there is none.
    pub(super) fn margin(&self, candidate: &Candidate, coarse: &[Coarse]) -> f64 {
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
