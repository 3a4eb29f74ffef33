//! The caution that a report begins with when light is a hazard to photosensitive people.

use crate::numbers::{percent, quantity};
use crate::verdict::{Outcome, Verdict};

/// Modulation below 90 Hz from which light is flagged, whatever limit the file sets.
const FLAGGED: f64 = 0.05;

/// The verdict on flashes if it fails; otherwise the worst one on modulation below 90 Hz, if it fails or reaches 5 %.
pub(super) fn hazard(verdicts: &[Verdict]) -> Option<&Verdict> {
    let flashes = verdicts.iter().find(|verdict| is_flashing(verdict));
    let below_90_hz = verdicts
        .iter()
        .filter(|verdict| verdict.id == "below_90_hz");
    let flagged = below_90_hz
        .filter(|verdict| verdict.outcome == Outcome::Fail || modulation(verdict) >= FLAGGED);
    flashes.or_else(|| flagged.max_by(|a, b| modulation(a).total_cmp(&modulation(b))))
}

/// The caution in one line of a terminal.
pub(super) fn caution(verdict: &Verdict) -> String {
    format!("caution: {} can harm photosensitive people", harm(verdict))
}

/// What harms.
pub(super) fn harm(verdict: &Verdict) -> String {
    if is_flashing(verdict) {
        let rate = quantity(verdict.value.unwrap_or(0.0), "Hz");
        format!("flashes at {rate}")
    } else {
        format!("{} modulation below 90 Hz", percent(modulation(verdict)))
    }
}

fn is_flashing(verdict: &Verdict) -> bool {
    verdict.id == "flashes" && verdict.outcome == Outcome::Fail
}

fn modulation(verdict: &Verdict) -> f64 {
    verdict.value.unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::{Checked, fixture};

    fn with(value: f64, limit: f64) -> Checked {
        let mut checked = fixture::checked();
        let verdict = checked
            .verdicts
            .iter_mut()
            .find(|verdict| verdict.id == "below_90_hz")
            .unwrap();
        (verdict.value, verdict.limit) = (Some(value), limit);
        if value > limit {
            verdict.outcome = Outcome::Fail;
        }
        checked
    }

    #[test]
    fn five_per_cent_or_a_failure_is_a_hazard_and_less_is_none() {
        for (value, limit, flagged) in [
            (0.049, 0.05, false),
            (0.05, 0.05, true),
            (0.07, 0.5, true),
            (0.02, 0.01, true),
        ] {
            let checked = with(value, limit);
            assert_eq!(
                hazard(&checked.verdicts).is_some(),
                flagged,
                "{value} of {limit}"
            );
        }
    }

    #[test]
    fn the_caution_is_one_line_with_the_figure() {
        let checked = with(0.123_456, 0.05);
        let line = caution(hazard(&checked.verdicts).unwrap());
        assert!(
            line.contains("12.35 %") && line.chars().count() <= 80,
            "{line}"
        );
    }
}
