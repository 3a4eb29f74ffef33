//! The order in which verdicts are shown: failures, then not judged, then passes.

use crate::verdict::{Bound, Outcome, Verdict};

/// How far inside its limit a value stays, as a fraction of the limit; none for a limit of 0.
pub(super) fn margin(verdict: &Verdict) -> Option<f64> {
    (verdict.limit != 0.0).then_some(room(verdict)? / verdict.limit.abs())
}

/// All verdicts, failures first; otherwise in the order in which they were judged.
pub(super) fn failures_first(verdicts: &[Verdict]) -> Vec<&Verdict> {
    let mut rows: Vec<_> = verdicts.iter().collect();
    rows.sort_by_key(|verdict| rank(verdict.outcome));
    rows
}

/// The worst verdict of each metric, failures first.
pub(super) fn worst_of_each(verdicts: &[Verdict]) -> Vec<&Verdict> {
    let mut worst: Vec<&Verdict> = Vec::new();
    for verdict in verdicts {
        match worst.iter_mut().find(|known| known.id == verdict.id) {
            Some(known) if severity(verdict) < severity(known) => *known = verdict,
            Some(_) => {}
            None => worst.push(verdict),
        }
    }
    worst.sort_by_key(|verdict| rank(verdict.outcome));
    worst
}

fn severity(verdict: &Verdict) -> (u8, f64) {
    let room = margin(verdict).or_else(|| room(verdict));
    (rank(verdict.outcome), room.unwrap_or(f64::INFINITY))
}

fn room(verdict: &Verdict) -> Option<f64> {
    let over = verdict.value.filter(|value| value.is_finite())? - verdict.limit;
    Some(match verdict.bound {
        Bound::AtMost => -over,
        Bound::AtLeast => over,
    })
}

fn rank(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Fail => 0,
        Outcome::NotJudged => 1,
        Outcome::Pass => 2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn failures_come_first_and_passes_last() {
        let checked = fixture::failing();
        for rows in [
            failures_first(&checked.verdicts),
            worst_of_each(&checked.verdicts),
        ] {
            assert_eq!(rows[0].outcome, Outcome::Fail);
            assert!(rows.is_sorted_by_key(|verdict| rank(verdict.outcome)));
        }
    }

    #[test]
    fn each_metric_shows_its_smallest_margin() {
        let checked = fixture::checked();
        let worst = worst_of_each(&checked.verdicts);
        for verdict in &checked.verdicts {
            let shown = worst.iter().find(|row| row.id == verdict.id).unwrap();
            assert!(severity(shown) <= severity(verdict), "{}", verdict.at);
        }
        assert!(worst.len() < checked.verdicts.len());
    }

    #[test]
    fn a_failure_is_shown_before_a_closer_pass() {
        let mut near = fixture::verdict("pulse_rate", 90.0, 90.0, "Hz");
        near.bound = Bound::AtLeast;
        let far = Verdict {
            value: Some(45.0),
            outcome: Outcome::Fail,
            ..near.clone()
        };
        assert_eq!(margin(&far), Some(-0.5));
        assert_eq!(worst_of_each(&[near, far.clone()]), [&far]);
    }
}
