//! The table of verdicts: the worst of each metric, and every one on demand.

use maud::{Markup, html};

use crate::report::order;
use crate::report::terminal::{limit_text, margin_text, outcome_text, value_text};
use crate::verdict::{Outcome, Verdict};

pub(in crate::report) fn section(verdicts: &[Verdict]) -> Markup {
    html! {
        section #verdicts {
            h2 { "Verdicts" }
            p {
                "The worst verdict of each metric, failures first. The margin says how far inside its "
                "limit a value stays, in per cent of the limit."
            }
            (table(&order::worst_of_each(verdicts)))
            details {
                summary { "All " (verdicts.len()) " verdicts" }
                (table(&order::failures_first(verdicts)))
            }
        }
    }
}

fn table(rows: &[&Verdict]) -> Markup {
    html! {
        table.verdicts {
            thead {
                tr {
                    th scope="col" { "Metric" }
                    th scope="col" { "At" }
                    th.number scope="col" { "Value" }
                    th.number scope="col" { "Limit" }
                    th.number scope="col" { "Margin" }
                    th scope="col" { "Outcome" }
                }
            }
            @for row in rows { tbody { (line(row)) (words(row)) } }
        }
    }
}

/// On a narrow screen each cell stands on its own line, named by `data-name`.
fn line(verdict: &Verdict) -> Markup {
    let failed = verdict.outcome == Outcome::Fail;
    html! {
        tr {
            th scope="row" { (verdict.name) }
            td data-name="at" { (verdict.at) }
            td.number data-name="value" { (value_text(verdict)) }
            td.number data-name="limit" { (limit_text(verdict)) }
            td.number data-name="margin" { (margin_text(verdict)) }
            td data-name="outcome" { span.fail[failed] { (outcome_text(verdict.outcome)) } }
        }
    }
}

fn words(verdict: &Verdict) -> Markup {
    html! {
        tr.words {
            td colspan="6" {
                (verdict.reason) " "
                span.source { "(limit: " (verdict.source) ")" }
                @if let Some(remedy) = &verdict.remedy {
                    p.remedy { strong { "What would mend it. " } (remedy) }
                }
            }
        }
    }
}
