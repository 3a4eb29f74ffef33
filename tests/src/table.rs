//! Tables of published values: one CSV file each in `tests/data`, with source and confidence in every row.

use std::collections::HashMap;

/// One row, by column name.
#[derive(Clone, Debug)]
pub struct Row(HashMap<String, String>);

impl Row {
    /// The text of a column.
    #[must_use]
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The number of a column.
    #[must_use]
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{column} = {text} is not a number"))
    }
}

/// All rows of `tests/data/NAME`; an empty table is a fault.
#[must_use]
pub fn table(name: &str) -> Vec<Row> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/data/").to_owned() + name;
    let mut reader =
        csv::Reader::from_path(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| Row(row.expect("a whole row")))
        .collect();
    assert!(!rows.is_empty(), "{path} has no rows");
    rows
}
