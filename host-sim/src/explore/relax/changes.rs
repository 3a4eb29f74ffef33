//! Not so deep, faster, or with a lower current range.

use super::super::candidate::{Candidate, LowerRange};
use super::super::coarse::{self, Patience};
use super::super::full;
use super::super::space::most_ratio;
use super::values::{rounded_down, steps};
use super::{Relaxation, TRIED, change};
use crate::description::Description;

/// Values that pass coarsely and are judged in full before a change is given up.
const JUDGED: usize = 6;
const DIVIDES: &str = "with a chip_hz that it divides";

/// Not so deep.
pub(super) fn deeper(luminaire: &Description, bases: &[Candidate]) -> Option<Relaxation> {
    let from = 100.0 * luminaire.requirements.lowest_light;
    first_that_passes(steps(from, 10.0), bases, |percent, base| {
        let mut described = base.described(luminaire);
        described.requirements.lowest_light = percent / 100.0;
        (described, *base)
    })
    .map(|(to, design)| change("[requirements] lowest_light_percent", from, to, design, ""))
}

/// Faster ticks than allowed, for the styles that are nearest among the fastest.
pub(super) fn faster(
    luminaire: &Description,
    candidates: &[Candidate],
    order: &[usize],
) -> Option<Relaxation> {
    let fastest = candidates.last()?.tick_hz;
    let among = order.iter().map(|&number| candidates[number]);
    let bases: Vec<_> = among
        .filter(|candidate| candidate.tick_hz == fastest)
        .take(TRIED)
        .collect();
    let from = f64::from(fastest);
    first_that_passes(steps(from, 1e8), &bases, |tick_hz, base| {
        let base = Candidate {
            tick_hz: tick_hz as u32,
            ..*base
        };
        (base.described(luminaire), base)
    })
    .map(|(to, design)| change("[explore] tick_hz_max", from, to, design, DIVIDES))
}

/// A lower range that is lower than offered.
pub(super) fn wider(luminaire: &Description, bases: &[Candidate]) -> Option<Relaxation> {
    let from = most_ratio(luminaire);
    let part = luminaire.explore.lower_range_below_percent[0];
    first_that_passes(steps(from, 1_000.0), bases, |ratio, base| {
        let lower_range = Some(LowerRange {
            ratio,
            below_percent: rounded_down(part / ratio),
        });
        let base = Candidate {
            lower_range,
            ..*base
        };
        (base.described(luminaire), base)
    })
    .map(|(to, design)| change("[hardware] range_ratio_max", from, to, design, ""))
}

/// The first value at which a base passes, coarsely and in full.
fn first_that_passes(
    values: impl Iterator<Item = f64>,
    bases: &[Candidate],
    with: impl Fn(f64, &Candidate) -> (Description, Candidate),
) -> Option<(f64, Candidate)> {
    let mut judged = 0;
    for value in values {
        for base in bases {
            let (described, design) = with(value, base);
            if !coarse::judge(&described, Patience::FirstBreak).keep_all() {
                continue;
            }
            if full::keeps_all(&described) {
                return Some((value, design));
            }
            judged += 1;
            if judged == JUDGED {
                return None;
            }
        }
    }
    None
}
