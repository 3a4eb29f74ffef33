//! Measured figures against the ledger's.

use super::file::number;
use super::{FIGURES, Row};

/// A figure may be worse by this factor: the compiler may move it a little.
const ALLOWED: f64 = 1.05;

/// What a comparison found, a line each.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    /// Worse than the ledger allows, or not comparable.
    pub worse: Vec<String>,
    /// Better by more than the same factor: worth writing down.
    pub better: Vec<String>,
}

/// Compares row by row; peers are left out.
#[must_use]
pub fn compare(ledger: &[Row], measured: &[Row]) -> Comparison {
    let mut found = Comparison::default();
    let ours =
        |rows: &[Row]| -> Vec<Row> { rows.iter().filter(|row| !row.is_peer()).cloned().collect() };
    let (ledger, measured) = (ours(ledger), ours(measured));
    for row in &measured {
        match ledger.iter().find(|known| known.key() == row.key()) {
            Some(known) => compare_row(known, row, &mut found),
            None => found
                .worse
                .push(format!("{:?}: measured, but not in the ledger", row.key())),
        }
    }
    for known in &ledger {
        if !measured.iter().any(|row| row.key() == known.key()) {
            found.worse.push(format!(
                "{:?}: in the ledger, but not measured",
                known.key()
            ));
        }
    }
    found
}

fn compare_row(known: &Row, row: &Row, found: &mut Comparison) {
    for (place, column) in FIGURES.iter().enumerate() {
        let (was, is) = match (known.figures[place], row.figures[place]) {
            (None, None) => continue,
            (was, is) => (was.unwrap_or(0.0), is.unwrap_or(f64::INFINITY)),
        };
        let line = || {
            let (item, opt_level) = row.key();
            format!(
                "{item} at opt-level {opt_level}: {column} {}, ledger {}",
                number(is),
                number(was)
            )
        };
        if is > was * ALLOWED {
            found.worse.push(line());
        } else if is * ALLOWED < was {
            found.better.push(line());
        }
    }
}
