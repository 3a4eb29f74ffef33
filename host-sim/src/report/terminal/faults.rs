//! What came of injected faults, in a few lines.

use super::columns::paragraph;
use super::plain::plain;
use crate::faults::Faults;
use crate::report::fault_words::{HEADINGS, cells, summary};

/// A row a kind, and how the core takes each.
#[must_use]
pub fn faults_table(faults: &Faults, width: usize) -> String {
    let width = width.clamp(*super::WIDTHS.start(), *super::WIDTHS.end());
    let mut text = "\n".to_owned() + &paragraph(&format!("faults: {}", summary(faults)), "", width);
    let mut rows = vec![HEADINGS.map(str::to_owned).to_vec()];
    rows.extend(faults.rows.iter().map(|row| cells(row, faults).to_vec()));
    text += &plain(&rows, width);
    for row in &faults.rows {
        let how = format!("{}: {}", row.kind.name(), row.kind.how());
        text += &paragraph(&how, "    ", width);
    }
    text
}
