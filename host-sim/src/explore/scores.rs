//! How far a design stays within each requirement.

use crate::check::glimpse::{Limits, chip_verdicts};
use crate::description::Description;
use crate::run::MetricRow;
use crate::verdict::{Bound, Outcome, Verdict};

/// The requirements that are looked at: stable identifiers of their verdicts, and plain names. The first is none of a
/// check: a luminaire whose driver cannot follow is refused there. The second stands for all of a check's verdicts on the chip.
pub const REQUIREMENTS: [(&str, &str); 11] = [
    (DRIVER, "driver's rise"),
    (CHIP, "chip"),
    ("pulse_rate", "pulse rate"),
    ("dark_gap", "dark gap"),
    ("svm", "SVM"),
    ("ieee1789_low_risk", "low risk"),
    ("ieee1789_no_effect", "no effect"),
    ("below_90_hz", "below 90 Hz"),
    ("visibility", "visibility"),
    ("camera_bands", "camera bands"),
    ("pst_lm", "PstLM"),
];

pub(super) const DRIVER: &str = "driver_rise";
const CHIP: &str = "chip";

/// The worst figure of each requirement over its limit: up to 1 it is kept, 0 where nothing was seen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Scores(pub(super) [f64; REQUIREMENTS.len()]);

impl Scores {
    /// The figure over the limit.
    #[must_use]
    pub fn over(&self, id: &str) -> f64 {
        place(id).map_or(0.0, |place| self.0[place])
    }

    /// The worst figure over its limit: the margin of the design, up to 1 if it is feasible.
    #[must_use]
    pub fn worst(&self) -> f64 {
        self.0.into_iter().fold(0.0, f64::max)
    }

    /// Whether every requirement is kept.
    #[must_use]
    pub fn keep_all(&self) -> bool {
        self.worst() <= 1.0
    }

    /// Identifiers of the requirements that are not kept.
    pub fn broken(&self) -> impl Iterator<Item = &'static str> {
        let scores = self.0.into_iter().zip(REQUIREMENTS);
        scores
            .filter(|(over, _)| *over > 1.0)
            .map(|(_, (id, _))| id)
    }

    pub(super) fn see(&mut self, id: &str, over: f64) {
        if let Some(place) = place(id) {
            self.0[place] = self.0[place].max(over);
        }
    }

    /// The worse of both, requirement by requirement.
    pub(super) fn worse(mut self, other: &Self) -> Self {
        for (one, other) in self.0.iter_mut().zip(other.0) {
            *one = one.max(other);
        }
        self
    }

    /// What the design asks of its chip: outputs, RAM, refills, latency, bus and CPU, the worst of them.
    pub(super) fn of_chip(description: &Description) -> Self {
        let mut scores = Self::default();
        for verdict in chip_verdicts(description) {
            scores.see(CHIP, over(&verdict));
        }
        scores
    }

    /// Figures of lines; a meter's is not among them.
    pub(super) fn of_row(limits: &Limits, row: &MetricRow) -> Self {
        let mut scores = Self::default();
        let seen = [
            (&limits.svm, row.svm),
            (&limits.low_risk, row.low_risk),
            (&limits.no_effect, row.no_effect),
            (&limits.seizure, row.below_90_hz),
            (&limits.visibility, row.visibility),
        ];
        for (rule, value) in seen {
            scores.see(rule.id, value / rule.limit);
        }
        scores
    }

    pub(super) fn of(verdicts: &[Verdict]) -> Self {
        let mut scores = Self::default();
        for verdict in verdicts {
            scores.see(verdict.id, over(verdict));
        }
        scores
    }
}

fn place(id: &str) -> Option<usize> {
    REQUIREMENTS.iter().position(|(known, _)| *known == id)
}

/// The name for people.
#[must_use]
pub fn name(id: &str) -> &'static str {
    place(id).map_or("", |place| REQUIREMENTS[place].1)
}

fn over(verdict: &Verdict) -> f64 {
    let limit = verdict.limit;
    match (verdict.value, verdict.bound) {
        (None, _) => 0.0,
        (Some(_), _) if verdict.outcome == Outcome::NotJudged => 0.0,
        (Some(value), Bound::AtMost) => value / limit,
        (Some(value), Bound::AtLeast) => limit / value,
    }
}

/// A requirement's limit, its unit, and whether it is a least one; none for those that are not one number.
pub(super) fn limit(description: &Description, id: &str) -> Option<(f64, &'static str, Bound)> {
    let limits = Limits::of(description);
    let rules = [
        limits.pulse_rate,
        limits.dark_gap,
        limits.svm,
        limits.low_risk,
        limits.no_effect,
        limits.seizure,
        limits.visibility,
        limits.pst_lm,
    ];
    let rule = rules.into_iter().find(|rule| rule.id == id)?;
    Some((rule.limit, rule.unit, rule.bound))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{BUILT_IN, parse};
    use crate::verdict::Rule;

    #[test]
    fn every_requirement_but_the_driver_chip_and_cameras_has_one_limit() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        for (id, _) in REQUIREMENTS {
            let known = limit(&cove, id).is_some();
            assert_eq!(known, ![DRIVER, CHIP, "camera_bands"].contains(&id), "{id}");
        }
    }

    #[test]
    fn the_chip_is_a_requirement_where_the_file_has_one() {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        let over = |cove: &Description| Scores::of_chip(cove).over(CHIP);
        let roomy = over(&cove);
        assert!((0.1..1.0).contains(&roomy), "{roomy}");
        cove.chip.as_mut().unwrap().ram_bytes = 1_000;
        let broken: Vec<_> = Scores::of_chip(&cove).broken().collect();
        assert_eq!(broken, [CHIP]);
        cove.chip = None;
        assert_eq!(over(&cove), 0.0);
    }

    #[test]
    fn verdicts_become_figures_over_their_limit() {
        let rule = |id, bound, limit| Rule {
            id,
            name: "",
            unit: "",
            bound,
            limit,
            source: "",
        };
        let verdicts = [
            rule("svm", Bound::AtMost, 0.4).judge("", 0.2, ""),
            rule("svm", Bound::AtMost, 0.4).judge("", 0.1, ""),
            rule("pulse_rate", Bound::AtLeast, 90.0).judge("", 60.0, ""),
            rule("pst_lm", Bound::AtMost, 1.0).not_judged("", ""),
        ];
        let scores = Scores::of(&verdicts);
        assert_eq!((scores.over("svm"), scores.over("pulse_rate")), (0.5, 1.5));
        assert_eq!((scores.over("pst_lm"), scores.worst()), (0.0, 1.5));
        assert_eq!(scores.broken().collect::<Vec<_>>(), ["pulse_rate"]);
    }
}
