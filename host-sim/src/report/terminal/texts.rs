//! What the columns say of a verdict.

use anstyle::{AnsiColor, Style};

use crate::numbers::quantity;
use crate::report::order;
use crate::verdict::{Bound, Outcome, Verdict};

/// What the margin column says: how far inside its limit the value stays, in per cent of the limit.
pub(in crate::report) fn margin_text(verdict: &Verdict) -> String {
    match order::margin(verdict).map(|margin| margin * 100.0) {
        None => "-".to_owned(),
        Some(margin) if margin > 999.0 => ">999 %".to_owned(),
        Some(margin) if margin < -999.0 => "<-999 %".to_owned(),
        Some(margin) if margin.abs() < 0.95 && margin != 0.0 => format!("{margin:+.1} %"),
        Some(margin) => format!("{margin:+.0} %"),
    }
}

pub(in crate::report) fn value_text(verdict: &Verdict) -> String {
    verdict
        .value
        .map_or("-".to_owned(), |value| quantity(value, verdict.unit))
}

pub(in crate::report) fn limit_text(verdict: &Verdict) -> String {
    let side = match verdict.bound {
        Bound::AtMost => '≤',
        Bound::AtLeast => '≥',
    };
    format!("{side} {}", quantity(verdict.limit, verdict.unit))
}

pub(in crate::report) fn outcome_text(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Fail => "fail",
        Outcome::NotJudged => "not judged",
    }
}

pub(super) fn style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Pass => AnsiColor::Green.on_default(),
        Outcome::Fail => AnsiColor::Red.on_default().bold(),
        Outcome::NotJudged => AnsiColor::Yellow.on_default(),
    }
}

pub(super) fn cells(verdict: &Verdict) -> [String; 6] {
    [
        verdict.name.to_owned(),
        verdict.at.clone(),
        value_text(verdict),
        limit_text(verdict),
        margin_text(verdict),
        outcome_text(verdict.outcome).to_owned(),
    ]
}
