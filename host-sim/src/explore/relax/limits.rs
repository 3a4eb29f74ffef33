//! One limit that is loosened.

use super::super::candidate::Candidate;
use super::super::full;
use super::super::scores::{Scores, limit};
use super::values::{rounded_down, rounded_up};
use super::{Relaxation, TRIED, change};
use crate::description::Description;
use crate::verdict::Bound;

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
const CAMERAS: &str = "[[cameras]] contrast_percent, times";

/// One limit changed, all others kept.
pub(super) fn relaxed_limits(
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
