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
