//! The table of what whole luminaires take of a processor, as the README quotes it.

use super::Row;
use super::file::number;

/// What runs, as items call it, and as a reader does.
const ROWS: [(&str, &str); 7] = [
    ("100", "at 100 %"),
    ("50", "at 50 %"),
    ("10", "at 10 %"),
    ("1", "at 1 %"),
    ("01", "at 0.1 %"),
    ("dearest", "at the dearest light"),
    ("fade", "in a fade from 100 to 0.1 %"),
];

const ONE_WAIT_STATE: &str = "cycles_one_wait_state";

/// Items' names before what runs, the column of the ledger, and the title.
const COLUMNS: [(&str, &str, &str); 8] = [
    ("cpu_fast_5_", "cycles", "5 channels"),
    ("cpu_fast_5_", ONE_WAIT_STATE, "one wait state"),
    ("cpu_fast_5_stretched_", "cycles", "in long decisions"),
    ("cpu_small_5_", "cycles", "small profile"),
    ("cpu_fast_9_", "cycles", "9 channels"),
    ("cpu_fast_9_", ONE_WAIT_STATE, "one wait state"),
    ("cpu_fast_9_stretched_", "cycles", "in long decisions"),
    ("cpu_small_9_", "cycles", "small profile"),
];

/// The table: percents of a processor of 48 MHz at opt-level 3.
#[must_use]
pub fn shares(rows: &[Row]) -> String {
    let titles = COLUMNS.map(|(_, _, title)| title).join(" | ");
    let mut text = format!("| % | {titles} |\n|---|{}\n", "---:|".repeat(COLUMNS.len()));
    let cell = |item: &str, column| {
        let row = rows.iter().find(|row| row.key() == (item, "3"));
        row.and_then(|row| row.figure(column))
            .map_or(String::new(), number)
    };
    for (run, name) in ROWS {
        let cells = COLUMNS.map(|(way, column, _)| cell(&format!("{way}{run}"), column));
        text += &format!("| {name} | {} |\n", cells.join(" | "));
    }
    let stalls = COLUMNS.map(|(way, _, _)| {
        let channels = if way.contains("_9_") { 9 } else { 5 };
        cell(&format!("cpu_dma_{channels}"), "cycles")
    });
    text + &format!("| DMA stalls beside, at most | {} |\n", stalls.join(" | "))
}
