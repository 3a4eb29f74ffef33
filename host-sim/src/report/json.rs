//! The result of `check` as one JSON document.

use serde_json::{Value, json};

use super::parameters::parameters;
use super::{Checked, PROGRAM, VERSION};
use crate::verdict::{Bound, Outcome, Verdict};

/// The document, keys in this order:
///
/// | key | holds |
/// |---|---|
/// | `schema_version` | 1; raised when a key changes its meaning or goes |
/// | `tool` | `name` and `version` of the program |
/// | `input` | `origin` (file name or `built in`) and `sha256` of the luminaire |
/// | `parameters` | every effective parameter, defaults included; keys as in [`Description`](crate::description::Description), units in the keys, fractions otherwise |
/// | `verdicts` | array, in the order of judging, see below |
/// | `summary` | numbers of verdicts: `passed`, `failed`, `not_judged` |
///
/// A verdict:
///
/// | key | holds |
/// |---|---|
/// | `id` | stable identifier of the metric |
/// | `at` | recipe and light, the worst light found, or a fade |
/// | `value` | the figure in `unit`, or null when it was not judged |
/// | `limit`, `unit` | the limit and the unit of both; `1` for a ratio or a count |
/// | `bound` | `at_most` or `at_least` |
/// | `outcome` | `pass`, `fail` or `not_judged` |
/// | `source` | who asks for the limit |
/// | `reason` | what the value says, or why there is none |
/// | `remedy` | what would mend a failure, or null |
///
/// JSON has no NaN: a value that is not finite is null.
#[must_use]
pub fn json(checked: &Checked) -> Value {
    json!({
        "schema_version": 1,
        "tool": { "name": PROGRAM, "version": VERSION },
        "input": { "origin": checked.origin, "sha256": checked.input_digest },
        "parameters": parameters(&checked.description),
        "verdicts": checked.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "summary": {
            "passed": checked.count(Outcome::Pass),
            "failed": checked.count(Outcome::Fail),
            "not_judged": checked.count(Outcome::NotJudged),
        },
    })
}

pub(super) fn verdict(verdict: &Verdict) -> Value {
    json!({
        "id": verdict.id,
        "at": verdict.at,
        "value": verdict.value,
        "limit": verdict.limit,
        "unit": verdict.unit,
        "bound": bound(verdict.bound),
        "outcome": outcome(verdict.outcome),
        "source": verdict.source,
        "reason": verdict.reason,
        "remedy": verdict.remedy,
    })
}

pub(super) fn bound(bound: Bound) -> &'static str {
    match bound {
        Bound::AtMost => "at_most",
        Bound::AtLeast => "at_least",
    }
}

pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Fail => "fail",
        Outcome::NotJudged => "not_judged",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    fn keys(value: &Value) -> Vec<&str> {
        value
            .as_object()
            .unwrap()
            .keys()
            .map(String::as_str)
            .collect()
    }

    #[test]
    fn the_documented_keys_are_there() {
        let document = json(&fixture::checked());
        let top = [
            "schema_version",
            "tool",
            "input",
            "parameters",
            "verdicts",
            "summary",
        ];
        assert_eq!(keys(&document), top);
        let verdict = [
            "id", "at", "value", "limit", "unit", "bound", "outcome", "source", "reason", "remedy",
        ];
        assert_eq!(keys(&document["verdicts"][0]), verdict);
        assert_eq!(
            keys(&document["summary"]),
            ["passed", "failed", "not_judged"]
        );
    }

    #[test]
    fn the_summary_counts_every_verdict_and_a_missing_value_is_null() {
        let mut checked = fixture::failing();
        checked.verdicts[0].value = Some(f64::NAN);
        let document = json(&checked);
        let count = |key: &str| document["summary"][key].as_u64().unwrap();
        assert_eq!(
            count("passed") + count("failed") + count("not_judged"),
            checked.verdicts.len() as u64
        );
        assert_eq!(count("failed"), 2);
        assert!(document["verdicts"][0]["value"].is_null());
        assert!(!document.to_string().contains("NaN"));
    }

    #[test]
    fn parameters_hold_defaults_and_names() {
        let parameters = &json(&fixture::checked())["parameters"];
        assert_eq!(parameters["requirements"]["pulse_hz"], 90.0);
        assert_eq!(parameters["script"][0]["recipe"], "evening");
        assert_eq!(
            parameters["channels"][4]["modulation"]["kind"],
            "first_order"
        );
    }
}
