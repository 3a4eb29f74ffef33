//! A plain table: the first column to the left, figures to the right.

use textwrap::core::display_width;

/// The row of headings and the rows of figures, two spaces between columns.
pub(super) fn plain(rows: &[Vec<String>]) -> String {
    let count = rows.first().map_or(0, Vec::len);
    let widest = |column: usize| rows.iter().map(|row| display_width(&row[column])).max();
    let widths: Vec<_> = (0..count)
        .map(|column| widest(column).unwrap_or(0))
        .collect();
    let line = |row: &Vec<String>| {
        let cells = row.iter().zip(&widths).enumerate();
        let cells = cells.map(|(column, (cell, width))| {
            // Names come from a file: what would steer the terminal is replaced.
            let cell = cell.replace(char::is_control, "\u{fffd}");
            let space = " ".repeat(width - display_width(&cell).min(*width));
            if column == 0 {
                cell + &space
            } else {
                space + &cell
            }
        });
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned() + "\n"
    };
    rows.iter().map(line).collect()
}
