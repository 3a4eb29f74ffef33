//! Published and computed values: one CSV a subject in `data/`, with the source of each row.

use std::path::PathBuf;
use std::str::FromStr;

/// A row of a CSV, read by the names of its columns.
#[derive(Clone, Debug)]
pub struct Row {
    names: csv::StringRecord,
    fields: csv::StringRecord,
}

impl Row {
    /// The text of a column.
    pub fn text(&self, column: &str) -> &str {
        let position = self.names.iter().position(|name| name == column);
        &self.fields[position.unwrap_or_else(|| panic!("no column {column}"))]
    }

    /// The number of a column.
    pub fn number(&self, column: &str) -> f64 {
        self.parsed(column)
    }

    /// A column as a type of its own.
    pub fn parsed<T: FromStr>(&self, column: &str) -> T {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("column {column}: {text}"))
    }
}

/// All rows of `data/NAME`; never none.
pub fn rows(name: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(path(name)).expect(name);
    let names = reader.headers().expect(name).clone();
    let rows: Vec<Row> = reader
        .records()
        .map(|fields| Row {
            names: names.clone(),
            fields: fields.expect(name),
        })
        .collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

/// The bits of a file of hexadecimal digits, the earliest in the most significant bit of the first digit.
pub fn bits(name: &str) -> Vec<bool> {
    let text = std::fs::read_to_string(path(name)).expect(name);
    text.chars()
        .filter_map(|digit| digit.to_digit(16))
        .flat_map(|digit| (0..4).rev().map(move |bit| digit >> bit & 1 == 1))
        .collect()
}

fn path(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "data", name].iter().collect()
}
