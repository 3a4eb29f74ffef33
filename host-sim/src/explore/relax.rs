//! What stands in the way of every design, and the smallest changes that would let one pass.

use super::candidate::{Candidate, LowerRange};
use super::coarse::{self, Patience};
use super::full;
use super::scores::{DRIVER, REQUIREMENTS, Scores, limit};
use super::space::most_ratio;
use crate::description::Description;
use crate::verdict::Bound;

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
/// Each value tried is so much beyond the one before.
const STEP: f64 = 1.05;
/// Values that pass coarsely and are judged in full before a change is given up.
const JUDGED: usize = 6;

/// `figures` holds every figure of some candidates; `scores` is what is known of each.
pub(super) fn empty(
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

/// Keys of limits: the requirement, its key, the key's unit over the limit's, and what to mind.
const KEYS: [(&str, &str, f64, &str); 8] = [
    ("pulse_rate", "[requirements] pulse_hz", 1.0, GUARD),
    ("dark_gap", "[requirements] dark_gap_ms", 1_000.0, GUARD),
    ("svm", "[requirements] svm", 1.0, ""),
    (
        "ieee1789_no_effect",
        "[requirements] no_effect_margin",
        1.0,
        "",
    ),
    (
        "below_90_hz",
        "[requirements] seizure_percent",
        100.0,
        GUARD,
    ),
    ("visibility", "[requirements] visibility", 1.0, ""),
    ("pst_lm", "[requirements] pst_lm", 1.0, ""),
    ("camera_bands", CAMERAS, 1.0, ""),
];
const GUARD: &str = "a guard against seizures: not for light that people stand in";
const DIVIDES: &str = "with a chip_hz that it divides";
const CAMERAS: &str = "[[cameras]] contrast_percent, times";

/// One limit changed, all others kept.
fn relaxed_limits(
    luminaire: &Description,
    candidates: &[Candidate],
    figures: &[(usize, Scores)],
) -> Vec<Relaxation> {
    let relaxed = |&(id, key, scale, note): &(&'static str, &'static str, f64, &'static str)| {
        let (design, over) = nearest_but_for(luminaire, candidates, figures, id)?;
        let (from, bound) =
            limit(luminaire, id).map_or((1.0, Bound::AtMost), |(limit, _, bound)| (limit, bound));
        let to = match bound {
            Bound::AtMost => rounded_up(from * scale * over),
            Bound::AtLeast => rounded_down(from * scale / over),
        };
        Some(change(key, from * scale, to, design, note))
    };
    KEYS.iter().filter_map(relaxed).collect()
}

/// The design that breaks this requirement alone, and by least, judged in full.
fn nearest_but_for(
    luminaire: &Description,
    candidates: &[Candidate],
    figures: &[(usize, Scores)],
    id: &str,
) -> Option<(Candidate, f64)> {
    let alone =
        |scores: &Scores| scores.over(id).is_finite() && scores.broken().all(|broken| broken == id);
    let mut designs: Vec<_> = figures.iter().filter(|(_, scores)| alone(scores)).collect();
    designs.sort_by(|one, other| one.1.over(id).total_cmp(&other.1.over(id)));
    designs
        .into_iter()
        .take(TRIED)
        .find_map(|(number, scores)| {
            let judged = full::judge(&candidates[*number].described(luminaire)).worse(scores);
            (alone(&judged) && judged.over(id) > 1.0)
                .then(|| (candidates[*number], judged.over(id)))
        })
}

/// Not so deep.
fn deeper(luminaire: &Description, bases: &[Candidate]) -> Option<Relaxation> {
    let from = 100.0 * luminaire.requirements.lowest_light;
    first_that_passes(steps(from, 10.0), bases, |percent, base| {
        let mut described = base.described(luminaire);
        described.requirements.lowest_light = percent / 100.0;
        (described, *base)
    })
    .map(|(to, design)| change("[requirements] lowest_light_percent", from, to, design, ""))
}

/// Faster ticks than allowed, for the styles that are nearest among the fastest.
fn faster(
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
fn wider(luminaire: &Description, bases: &[Candidate]) -> Option<Relaxation> {
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

/// Values from one on, each a step beyond the one before and short to write down, up to the largest.
fn steps(from: f64, most: f64) -> impl Iterator<Item = f64> {
    let values = std::iter::successors(Some(from * STEP), |value| Some(value * STEP));
    values
        .map(rounded_up)
        .take_while(move |value| *value <= most)
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
            if full::judge(&described).keep_all() {
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

/// Three significant digits.
fn rounded_up(value: f64) -> f64 {
    to_three_digits(value, f64::ceil)
}

fn rounded_down(value: f64) -> f64 {
    to_three_digits(value, f64::floor)
}

fn to_three_digits(value: f64, round: fn(f64) -> f64) -> f64 {
    let digits = 2 - value.log10().floor() as i32;
    // A division by a whole power of ten gives the nearest number to the digits, a product with its inverse not always.
    let power = 10_f64.powi(digits.abs());
    let near = |value: f64| {
        let nearest = value.round();
        if (value - nearest).abs() < 1e-9 * value {
            nearest
        } else {
            round(value)
        }
    };
    if digits >= 0 {
        near(value * power) / power
    } else {
        near(value / power) * power
    }
}

#[cfg(test)]
mod tests {
    use super::{rounded_down, rounded_up, steps};

    #[test]
    fn values_are_short_to_write_down() {
        assert_eq!(
            (rounded_up(0.123_41), rounded_down(0.123_49)),
            (0.124, 0.123)
        );
        assert_eq!(
            (rounded_up(48_123_456.0), rounded_down(999.9)),
            (48_200_000.0, 999.0)
        );
        assert_eq!(
            (rounded_up(0.1), rounded_down(0.1), rounded_up(30.0)),
            (0.1, 0.1, 30.0)
        );
    }

    #[test]
    fn steps_rise_to_the_largest() {
        let steps: Vec<f64> = steps(1.0, 1.2).collect();
        assert_eq!(steps, [1.05, 1.11, 1.16]);
    }
}
