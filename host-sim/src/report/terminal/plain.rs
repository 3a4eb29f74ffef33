//! A plain table: the first column to the left, figures to the right.

use textwrap::core::display_width;

use super::columns::paragraph;

/// The row of headings and the rows of figures, two spaces between columns; where that is wider than `width`, a paragraph a row.
pub(super) fn plain(rows: &[Vec<String>], width: usize) -> String {
    let count = rows.first().map_or(0, Vec::len);
    let widest = |column: usize| rows.iter().map(|row| display_width(&row[column])).max();
    let widths: Vec<_> = (0..count)
        .map(|column| widest(column).unwrap_or(0))
        .collect();
    if widths.iter().sum::<usize>() + 2 * count.saturating_sub(1) > width {
        return rows
            .iter()
            .skip(1)
            .map(|row| words(&rows[0], row, width))
            .collect();
    }
    rows.iter().map(|row| line(row, &widths)).collect()
}

fn line(row: &[String], widths: &[usize]) -> String {
    let cells = row.iter().zip(widths).enumerate();
    let cells = cells.map(|(column, (cell, width))| {
        let space = " ".repeat(width - display_width(cell));
        if column == 0 {
            cell.clone() + &space
        } else {
            space + cell
        }
    });
    cells.collect::<Vec<_>>().join("  ").trim_end().to_owned() + "\n"
}

fn words(headings: &[String], row: &[String], width: usize) -> String {
    let cells = headings.iter().zip(row).skip(1);
    let cells: Vec<_> = cells
        .map(|(heading, cell)| format!("{heading} {cell}"))
        .collect();
    paragraph(&format!("{}: {}", row[0], cells.join(", ")), "  ", width)
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn figures_stand_to_the_right_and_narrow_terminals_get_words() {
        let row = |cells: [&str; 3]| cells.map(str::to_owned).to_vec();
        let rows = [
            row(["way", "SVM", "light"]),
            row(["first order", "0.27", "1 %"]),
        ];
        assert_eq!(
            plain(&rows, 80),
            "way           SVM  light\nfirst order  0.27    1 %\n"
        );
        assert_eq!(plain(&rows, 20), "  first order: SVM\n  0.27, light 1 %\n");
    }
}
