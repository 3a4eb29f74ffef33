//! The rows of numbers, each checked.

use std::path::Path;

use super::layout::{Layout, number};
use super::lines::Lines;
use crate::capture::Refusal;

pub(super) struct Row {
    /// Seconds; 0 without a column of times.
    pub(super) time_s: f64,
    pub(super) value: f64,
}

/// Rows in the order of the file; times rise.
pub(super) struct Rows {
    lines: Lines,
    layout: Layout,
    before_s: f64,
}

impl Rows {
    pub(super) fn open(file: &Path, layout: Layout) -> Result<Self, Refusal> {
        let mut lines = Lines::open(file)?;
        if layout.has_header {
            lines.next()?;
        }
        Ok(Self {
            lines,
            layout,
            before_s: f64::NEG_INFINITY,
        })
    }

    pub(super) fn refuse(&self, what: impl Into<String>) -> Refusal {
        self.lines.refuse(what)
    }

    fn read(&mut self) -> Result<Option<Row>, Refusal> {
        let layout = self.layout;
        let Some(line) = self.lines.next()? else {
            return Ok(None);
        };
        match parsed(line, layout).map_err(|what| self.lines.refuse(what))? {
            row if layout.has_times && row.time_s <= self.before_s => {
                let what = format!(
                    "time runs backwards, from {} s to {} s; allowed are rising times",
                    self.before_s, row.time_s
                );
                Err(self.refuse(what))
            }
            row => {
                self.before_s = row.time_s;
                Ok(Some(row))
            }
        }
    }
}

impl Iterator for Rows {
    type Item = Result<Row, Refusal>;

    fn next(&mut self) -> Option<Self::Item> {
        self.read().transpose()
    }
}

fn parsed(line: &str, layout: Layout) -> Result<Row, String> {
    let count = line.split(layout.delimiter).count();
    let columns = 1 + usize::from(layout.has_times);
    if count != columns {
        return Err(format!(
            "{count} columns; allowed are {columns}, as in the first row"
        ));
    }
    let mut fields = line.split(layout.delimiter);
    let mut next = || finite(fields.next().unwrap_or_default(), layout.delimiter);
    let time_s = if layout.has_times {
        next()? * layout.unit.seconds()
    } else {
        0.0
    };
    Ok(Row {
        time_s,
        value: next()?,
    })
}

fn finite(field: &str, delimiter: char) -> Result<f64, String> {
    let number = number(field, delimiter).filter(|number| number.is_finite());
    number.ok_or_else(|| {
        let shown: String = field.chars().take(40).collect();
        format!("{shown:?} is no finite number; allowed is one such as 0.25 or 2.5e-3")
    })
}
