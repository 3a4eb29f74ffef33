//! A verdict: a value against a limit, where it is, who asks for it, and what came of it.

/// What came of comparing a value with its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The value keeps the limit.
    Pass,
    /// The value breaks the limit.
    Fail,
    /// There was no value to compare, for the reason given.
    NotJudged,
}

/// On which side of the limit a value must stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// Pass when value <= limit.
    AtMost,
    /// Pass when value >= limit.
    AtLeast,
}

/// One judged figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Stable identifier, for example `average_error`.
    pub id: &'static str,
    /// Plain name for people, for example `average error`.
    pub name: &'static str,
    /// Where: recipe and light (`evening, 0.1 %`), `worst: ...`, or a fade of the script.
    pub at: String,
    /// Whether this row is the search over the whole range.
    pub is_worst: bool,
    /// The figure, or none when it could not be judged.
    pub value: Option<f64>,
    /// The limit.
    pub limit: f64,
    /// Side of the limit to stay on.
    pub bound: Bound,
    /// Unit of value and limit; `1` for a plain ratio or count.
    pub unit: &'static str,
    /// What came of it.
    pub outcome: Outcome,
    /// Who asks for it: a standard and clause, the file, or our default.
    pub source: &'static str,
    /// What the value says, in words; for `NotJudged` why.
    pub reason: String,
    /// For a failure: what would mend it, computed for this luminaire.
    pub remedy: Option<String>,
}

/// What one kind of verdict has in common: the requirement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Stable identifier.
    pub id: &'static str,
    /// Plain name for people.
    pub name: &'static str,
    /// Unit of value and limit.
    pub unit: &'static str,
    /// Side of the limit to stay on.
    pub bound: Bound,
    /// The limit.
    pub limit: f64,
    /// Who asks for it.
    pub source: &'static str,
}

impl Rule {
    /// Judges a value that was found at a place.
    #[must_use]
    pub fn judge(&self, at: impl Into<String>, value: f64, reason: impl Into<String>) -> Verdict {
        let kept = match self.bound {
            Bound::AtMost => value <= self.limit,
            Bound::AtLeast => value >= self.limit,
        };
        let outcome = if kept { Outcome::Pass } else { Outcome::Fail };
        Verdict {
            value: Some(value),
            outcome,
            ..self.not_judged(at, reason)
        }
    }

    /// Says why there is no value.
    #[must_use]
    pub fn not_judged(&self, at: impl Into<String>, reason: impl Into<String>) -> Verdict {
        Verdict {
            id: self.id,
            name: self.name,
            at: at.into(),
            is_worst: false,
            value: None,
            limit: self.limit,
            bound: self.bound,
            unit: self.unit,
            outcome: Outcome::NotJudged,
            source: self.source,
            reason: reason.into(),
            remedy: None,
        }
    }
}

impl Verdict {
    /// Marks the row as the search over the whole range.
    #[must_use]
    pub fn worst(self) -> Self {
        Self {
            at: format!("worst: {}", self.at),
            is_worst: true,
            ..self
        }
    }

    /// Adds what would mend it, if it fails.
    #[must_use]
    pub fn mended_by(self, remedy: impl FnOnce() -> Option<String>) -> Self {
        let remedy = if self.outcome == Outcome::Fail {
            remedy()
        } else {
            None
        };
        Self { remedy, ..self }
    }
}
