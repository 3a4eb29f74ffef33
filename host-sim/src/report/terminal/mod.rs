//! The table of verdicts for a terminal.

mod columns;
mod comparison;
mod facts;
mod faults;
mod plain;
mod spread;
mod texts;

pub(super) use columns::paragraph;
pub use comparison::comparison_table;
pub use facts::facts;
pub use faults::faults_table;
pub use spread::spread_table;
pub(super) use texts::{limit_text, margin_text, outcome_text, value_text};

use anstyle::Style;

use super::hazard::{caution, hazard};
use super::order;
use crate::verdict::{Outcome, Verdict};
use columns::{COLUMNS, Columns};
use texts::{cells, style};

const INDENT: &str = "    ";
const HEADINGS: [&str; COLUMNS] = ["metric", "worst at", "value", "limit", "margin", "outcome"];

/// Columns that a table can be fitted to.
pub const WIDTHS: std::ops::RangeInclusive<usize> = 40..=80;

/// The verdicts, failures first: the worst of each metric, or `all` of them, in lines of `width` columns, taken into
/// [`WIDTHS`]. Before them a caution, if the light is a hazard. Below 60 columns the places stand below their rows.
///
/// The outcome's word carries ANSI colour; print through `anstream`, which drops it where unwanted.
#[must_use]
pub fn table(verdicts: &[Verdict], all: bool, width: usize) -> String {
    let width = width.clamp(*WIDTHS.start(), *WIDTHS.end());
    let rows = if all {
        order::failures_first(verdicts)
    } else {
        order::worst_of_each(verdicts)
    };
    let mut headings = HEADINGS.map(str::to_owned);
    if all {
        headings[1] = "at".to_owned();
    }
    let mut lines = vec![headings];
    lines.extend(rows.iter().map(|row| cells(row)));
    let columns = Columns::of(&lines, width);
    let caution = hazard(verdicts).map(|verdict| paragraph(&caution(verdict), "", width) + "\n");
    let mut text = caution.unwrap_or_default();
    text += &columns.line(&lines[0], Style::new());
    for (row, cells) in rows.iter().zip(&lines[1..]) {
        text += &columns.line(cells, style(row.outcome));
        if columns.without_place() {
            text += &paragraph(&format!("at {}", row.at), "  ", width);
        }
        text += &advice(row, width);
    }
    text + "\n" + &count_line(verdicts, all, width)
}

/// What the figure says and what would mend it; nothing for a pass.
fn advice(verdict: &Verdict, width: usize) -> String {
    if verdict.outcome == Outcome::Pass {
        return String::new();
    }
    let remedy = verdict
        .remedy
        .as_ref()
        .map(|remedy| paragraph(&format!("mend: {remedy}"), INDENT, width));
    paragraph(&verdict.reason, INDENT, width) + &remedy.unwrap_or_default()
}

fn count_line(verdicts: &[Verdict], all: bool, width: usize) -> String {
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
    paragraph(&words, "", width)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;
    use textwrap::core::display_width;

    fn stripped(text: &str) -> String {
        anstream::adapter::strip_str(text).to_string()
    }

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        let mut checked = fixture::failing();
        checked.verdicts[0].at = "unbroken_".repeat(12);
        checked.verdicts[0].unit = "lumens a control step";
        checked.verdicts.push(Verdict {
            outcome: Outcome::Fail,
            ..fixture::verdict("below_90_hz", 0.41, 0.05, "1")
        });
        for all in [false, true] {
            for width in WIDTHS {
                let text = stripped(&table(&checked.verdicts, all, width));
                let widest = text.lines().map(display_width).max().unwrap();
                assert!(
                    (width - 9..=width).contains(&widest),
                    "{width} {widest}: {text}"
                );
            }
        }
    }

    #[test]
    fn widths_beyond_the_ends_are_taken_into_them() {
        let checked = fixture::failing();
        let of = |width| table(&checked.verdicts, true, width);
        assert_eq!((of(0), of(500)), (of(40), of(80)));
        assert!(stripped(&of(40)).contains("\n  at "), "{}", of(40));
    }

    #[test]
    fn failures_stand_first_with_their_remedy_below() {
        let text = stripped(&table(&fixture::failing().verdicts, false, 80));
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
        assert!(!table(&checked.verdicts, false, 80).contains("caution"));
        let verdict = fixture::verdict("below_90_hz", 0.41, 0.05, "1");
        checked.verdicts.push(Verdict {
            outcome: Outcome::Fail,
            ..verdict
        });
        let text = stripped(&table(&checked.verdicts, false, 80));
        let first = text.lines().next().unwrap();
        assert!(first.starts_with("caution: 41 %"), "{text}");
    }

    #[test]
    fn all_shows_every_verdict() {
        let checked = fixture::checked();
        let ends = |all| {
            stripped(&table(&checked.verdicts, all, 80))
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
        let text = table(&checked.verdicts, true, 80);
        assert!(!text.contains("\u{1b}[2J"));
        assert!(text.contains("\u{1b}[32mpass\u{1b}[0m"));
    }
}
