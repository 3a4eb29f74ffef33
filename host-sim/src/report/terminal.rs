//! The table of verdicts for a terminal of 80 columns.

use anstyle::{AnsiColor, Style};
use textwrap::core::display_width;

use super::hazard::{caution, hazard};
use super::order;
use crate::numbers::quantity;
use crate::verdict::{Bound, Outcome, Verdict};

const WIDTH: usize = 80;
const GAP: usize = 2;
const INDENT: &str = "    ";
const HEADINGS: [&str; 6] = ["metric", "worst at", "value", "limit", "margin", "outcome"];

/// The verdicts, failures first: the worst of each metric, or `all` of them. Before them a caution, if the light is
/// a hazard.
///
/// The outcome's word carries ANSI colour; print through `anstream`, which drops it where unwanted.
#[must_use]
pub fn table(verdicts: &[Verdict], all: bool) -> String {
    let rows = if all {
        order::failures_first(verdicts)
    } else {
        order::worst_of_each(verdicts)
    };
    let mut headings = HEADINGS.map(str::to_owned);
    if all {
        headings[1] = "at".to_owned();
    }
    let cells: Vec<_> = rows.iter().map(|row| cells(row)).collect();
    let widths = widths(&headings, &cells);
    let caution = hazard(verdicts).map(|verdict| caution(verdict) + "\n\n");
    let mut text = caution.unwrap_or_default();
    text += &line(&headings, &widths, Style::new());
    for (row, cells) in rows.iter().zip(&cells) {
        text += &line(cells, &widths, style(row.outcome));
        text += &advice(row);
    }
    text + "\n" + &count_line(verdicts, all)
}

/// What the margin column says: how far inside its limit the value stays, in per cent of the limit.
pub(super) fn margin_text(verdict: &Verdict) -> String {
    match order::margin(verdict).map(|margin| margin * 100.0) {
        None => "-".to_owned(),
        Some(margin) if margin > 999.0 => ">999 %".to_owned(),
        Some(margin) if margin < -999.0 => "<-999 %".to_owned(),
        Some(margin) if margin.abs() < 0.95 && margin != 0.0 => format!("{margin:+.1} %"),
        Some(margin) => format!("{margin:+.0} %"),
    }
}

pub(super) fn value_text(verdict: &Verdict) -> String {
    verdict
        .value
        .map_or("-".to_owned(), |value| quantity(value, verdict.unit))
}

pub(super) fn limit_text(verdict: &Verdict) -> String {
    let side = match verdict.bound {
        Bound::AtMost => '≤',
        Bound::AtLeast => '≥',
    };
    format!("{side} {}", quantity(verdict.limit, verdict.unit))
}

pub(super) fn outcome_text(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Fail => "fail",
        Outcome::NotJudged => "not judged",
    }
}

fn style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Pass => AnsiColor::Green.on_default(),
        Outcome::Fail => AnsiColor::Red.on_default().bold(),
        Outcome::NotJudged => AnsiColor::Yellow.on_default(),
    }
}

fn cells(verdict: &Verdict) -> [String; 6] {
    [
        verdict.name.to_owned(),
        verdict.at.clone(),
        value_text(verdict),
        limit_text(verdict),
        margin_text(verdict),
        outcome_text(verdict.outcome).to_owned(),
    ]
}

/// Names come from a file: what would steer the terminal is replaced.
fn plain(text: &str) -> String {
    text.replace(char::is_control, "\u{fffd}")
}

/// Figures get the room that they need; name and place share the rest.
fn widths(headings: &[String; 6], rows: &[[String; 6]]) -> [usize; 6] {
    let mut widths = headings.each_ref().map(|heading| display_width(heading));
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(display_width(cell));
        }
    }
    for width in &mut widths[2..5] {
        *width = (*width).min(12);
    }
    let rest = WIDTH - 5 * GAP - widths[2..].iter().sum::<usize>();
    widths[0] = widths[0].min(rest / 2);
    widths[1] = widths[1].min(rest - widths[0]);
    widths
}

/// One row; a cell wider than its column goes on below. The last cell carries the style.
fn line(cells: &[String; 6], widths: &[usize; 6], style: Style) -> String {
    let wrapped: Vec<_> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| wrapped(cell, *width))
        .collect();
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
    let mut text = String::new();
    for i in 0..height {
        let part = |column: usize| wrapped[column].get(i).map_or("", |part| &**part);
        let left = (0..5).map(|column| padded(part(column), widths[column], column >= 2));
        let mut line: String = left.collect();
        match part(5) {
            "" => line.truncate(line.trim_end().len()),
            word => line += &format!("{style}{word}{style:#}"),
        }
        text += &(line + "\n");
    }
    text
}

const GLUE: &str = "\u{a0}";

/// Keeps a per cent sign with its number while lines are broken.
fn glued(text: &str) -> String {
    plain(text).replace(" %", &format!("{GLUE}%"))
}

fn wrapped(cell: &str, width: usize) -> Vec<String> {
    let glued = glued(cell);
    textwrap::wrap(&glued, width)
        .iter()
        .map(|line| line.replace(GLUE, " "))
        .collect()
}

fn padded(part: &str, width: usize, right: bool) -> String {
    let space = " ".repeat(width.saturating_sub(display_width(part)));
    let gap = " ".repeat(GAP);
    if right {
        format!("{space}{part}{gap}")
    } else {
        format!("{part}{space}{gap}")
    }
}

/// What the figure says and what would mend it; nothing for a pass.
fn advice(verdict: &Verdict) -> String {
    if verdict.outcome == Outcome::Pass {
        return String::new();
    }
    let remedy = verdict
        .remedy
        .as_ref()
        .map(|remedy| paragraph(&format!("mend: {remedy}"), INDENT));
    paragraph(&verdict.reason, INDENT) + &remedy.unwrap_or_default()
}

pub(super) fn paragraph(words: &str, indent: &str) -> String {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(indent)
        .subsequent_indent(indent);
    textwrap::fill(&glued(words), options).replace(GLUE, " ") + "\n"
}

fn count_line(verdicts: &[Verdict], all: bool) -> String {
    let count = |outcome| verdicts.iter().filter(|row| row.outcome == outcome).count();
    let hint = if all {
        ""
    } else {
        "; the worst of each metric is shown, --all shows every one"
    };
    let words = format!(
        "{} verdicts: {} fail, {} not judged, {} pass{hint}",
        verdicts.len(),
        count(Outcome::Fail),
        count(Outcome::NotJudged),
        count(Outcome::Pass),
    );
    paragraph(&words, "")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    fn stripped(text: &str) -> String {
        anstream::adapter::strip_str(text).to_string()
    }

    #[test]
    fn no_line_is_wider_than_80_columns() {
        let mut checked = fixture::failing();
        checked.verdicts[0].at = "unbroken_".repeat(12);
        checked.verdicts[0].unit = "lumens a control step";
        for all in [false, true] {
            let text = stripped(&table(&checked.verdicts, all));
            let widest = text.lines().map(display_width).max().unwrap();
            assert!((70..=80).contains(&widest), "{widest}: {text}");
        }
    }

    #[test]
    fn failures_stand_first_with_their_remedy_below() {
        let text = stripped(&table(&fixture::failing().verdicts, false));
        let lines: Vec<_> = text.lines().collect();
        assert!(lines[1].ends_with("fail"), "{text}");
        let place = |word: &str| text.find(word).unwrap();
        assert!(
            place("lowest pulse rate") < place("\n    mend: Raise tick_hz"),
            "{text}"
        );
        assert!(
            place("\n    mend: Raise tick_hz") < place("not judged\n"),
            "{text}"
        );
        assert!(place("fail\n") < place("not judged\n") && place("not judged\n") < place("pass\n"));
    }

    #[test]
    fn a_hazard_is_told_before_the_table() {
        let mut checked = fixture::failing();
        assert!(!table(&checked.verdicts, false).contains("caution"));
        let verdict = fixture::verdict("below_90_hz", 0.41, 0.05, "1");
        checked.verdicts.push(Verdict {
            outcome: Outcome::Fail,
            ..verdict
        });
        let text = stripped(&table(&checked.verdicts, false));
        let first = text.lines().next().unwrap();
        assert!(first.starts_with("caution: 41 %"), "{text}");
    }

    #[test]
    fn all_shows_every_verdict() {
        let checked = fixture::checked();
        let ends = |all| {
            stripped(&table(&checked.verdicts, all))
                .lines()
                .filter(|l| l.ends_with("pass"))
                .count()
        };
        assert_eq!(ends(true), checked.count(Outcome::Pass) + 1);
        assert!(ends(false) < ends(true));
    }

    #[test]
    fn only_the_outcome_is_coloured_and_names_cannot_steer_the_terminal() {
        let mut checked = fixture::checked();
        checked.verdicts[0].at = "\u{1b}[2Jgone".to_owned();
        let text = table(&checked.verdicts, true);
        assert!(!text.contains("\u{1b}[2J"));
        assert!(text.contains("\u{1b}[32mpass\u{1b}[0m"));
    }
}
