//! Columns that fit a width, and words broken to it.

use anstyle::Style;
use textwrap::core::display_width;

pub(super) const COLUMNS: usize = 6;
const PLACE: usize = 1;
const OUTCOME: usize = COLUMNS - 1;
/// Room for a figure: so much of 80 columns, in proportion elsewhere; and the least.
const FIGURE: usize = 12;
const LEAST_FIGURE: usize = 6;
/// Room for the longest word of an outcome's column where it is narrow.
const OUTCOME_WORD: usize = 7;
const WIDE: usize = 80;
/// In fewer columns places stand on lines of their own.
const NARROW: usize = 60;

/// The widths of the columns; one of 0 is left out.
pub(super) struct Columns {
    widths: [usize; COLUMNS],
    gap: usize,
}

impl Columns {
    /// Figures get the room that they need, up to a limit; name and place share the rest.
    pub(super) fn of(rows: &[[String; COLUMNS]], width: usize) -> Self {
        let mut widths = [0; COLUMNS];
        for row in rows {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = (*width).max(display_width(cell));
            }
        }
        let figure = (FIGURE * width / WIDE).max(LEAST_FIGURE);
        for column in &mut widths[2..OUTCOME] {
            *column = (*column).min(figure);
        }
        if width < WIDE {
            widths[OUTCOME] = widths[OUTCOME].min(OUTCOME_WORD);
        }
        let (gap, gaps) = if width < NARROW { (1, 4) } else { (2, 5) };
        let rest = width.saturating_sub(gap * gaps + widths[2..].iter().sum::<usize>());
        if width < NARROW {
            (widths[0], widths[PLACE]) = (rest.min(widths[0]), 0);
        } else {
            widths[0] = widths[0].min(rest / 2);
            widths[PLACE] = widths[PLACE].min(rest - widths[0]);
        }
        Self { widths, gap }
    }

    /// Whether places are left to lines of their own.
    pub(super) fn without_place(&self) -> bool {
        self.widths[PLACE] == 0
    }

    /// One row; a cell wider than its column goes on below. The last cell carries the style.
    pub(super) fn line(&self, cells: &[String; COLUMNS], style: Style) -> String {
        let shown = (0..COLUMNS).filter(|&column| self.widths[column] > 0);
        let wrapped: Vec<_> = shown
            .map(|column| (column, wrapped(&cells[column], self.widths[column])))
            .collect();
        let height = wrapped.iter().map(|(_, lines)| lines.len()).max();
        (0..height.unwrap_or(0))
            .map(|place| self.part(&wrapped, place, style))
            .collect()
    }

    /// One line on the screen of a row.
    fn part(&self, wrapped: &[(usize, Vec<String>)], place: usize, style: Style) -> String {
        let mut line = String::new();
        for (column, lines) in wrapped {
            let word = lines.get(place).map_or("", |line| &**line);
            match (*column, word) {
                (OUTCOME, "") => line.truncate(line.trim_end().len()),
                (OUTCOME, word) => line += &format!("{style}{word}{style:#}"),
                (column, word) => line += &self.padded(word, column),
            }
        }
        line + "\n"
    }

    /// Figures stand to the right.
    fn padded(&self, part: &str, column: usize) -> String {
        let space = " ".repeat(self.widths[column].saturating_sub(display_width(part)));
        let gap = " ".repeat(self.gap);
        if column >= 2 {
            format!("{space}{part}{gap}")
        } else {
            format!("{part}{space}{gap}")
        }
    }
}

const GLUE: &str = "\u{a0}";

/// Keeps a per cent sign with its number while lines are broken. Names come from a file: what would steer the terminal
/// is replaced.
fn glued(text: &str) -> String {
    text.replace(char::is_control, "\u{fffd}")
        .replace(" %", &format!("{GLUE}%"))
}

fn wrapped(cell: &str, width: usize) -> Vec<String> {
    textwrap::wrap(&glued(cell), width)
        .iter()
        .map(|line| line.replace(GLUE, " "))
        .collect()
}

/// Words broken to a width, each line behind an indent.
pub(in crate::report) fn paragraph(words: &str, indent: &str, width: usize) -> String {
    let options = textwrap::Options::new(width)
        .initial_indent(indent)
        .subsequent_indent(indent);
    textwrap::fill(&glued(words), options).replace(GLUE, " ") + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(cells: [&str; COLUMNS]) -> Vec<[String; COLUMNS]> {
        vec![
            ["metric", "at", "value", "limit", "margin", "outcome"].map(str::to_owned),
            cells.map(str::to_owned),
        ]
    }

    #[test]
    fn a_figure_takes_12_of_80_columns_at_most() {
        let long = "123456 lumens a control step";
        let columns = Columns::of(&rows(["svm", "noon", long, long, "0 %", "fail"]), 80);
        assert_eq!(columns.widths, [6, 4, 12, 12, 6, 7]);
        let columns = Columns::of(&rows(["svm", "noon", "0.4", long, "0 %", "fail"]), 80);
        assert_eq!(columns.widths, [6, 4, 5, 12, 6, 7]);
    }

    #[test]
    fn name_and_place_share_what_is_left() {
        let long = "a name of forty characters and no fewer.";
        let columns = Columns::of(&rows([long, long, "1", "1", "1 %", "not judged"]), 80);
        // 80 less five gaps of 2 and 5 + 5 + 6 + 10 for the figures.
        assert_eq!(columns.widths, [22, 22, 5, 5, 6, 10]);
    }

    #[test]
    fn in_narrow_terminals_the_outcome_wraps_and_the_place_leaves_the_row() {
        let columns = Columns::of(&rows(["svm", "noon", "1", "1", "1 %", "not judged"]), 40);
        assert!(columns.without_place());
        assert_eq!(columns.widths[OUTCOME], 7);
    }
}
