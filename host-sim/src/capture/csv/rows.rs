//! The rows of numbers, each checked.

use std::path::Path;

use super::layout::{Layout, NO_TEXT, number};
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
        Self::of(Lines::open(file)?, layout)
    }

    pub(super) fn of(mut lines: Lines, layout: Layout) -> Result<Self, Refusal> {
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
        let row = match quickly(line, layout) {
            Some(row) => row,
            None => thoroughly(line, layout).map_err(|what| self.lines.refuse(what))?,
        };
        if layout.has_times && row.time_s <= self.before_s {
            let what = format!(
                "time runs backwards, from {} s to {} s; allowed are rising times",
                self.before_s, row.time_s
            );
            return Err(self.refuse(what));
        }
        self.before_s = row.time_s;
        Ok(Some(row))
    }
}

impl Iterator for Rows {
    type Item = Result<Row, Refusal>;

    fn next(&mut self) -> Option<Self::Item> {
        self.read().transpose()
    }
}

/// A row of bare numbers and nothing else: one look at each byte.
fn quickly(line: &[u8], layout: Layout) -> Option<Row> {
    let (mut time_s, mut rest) = (0.0, line);
    if layout.has_times {
        let (time, length) = fast_float2::parse_partial::<f64, _>(line).ok()?;
        let (&delimiter, after) = line.get(length..)?.split_first()?;
        (delimiter == layout.delimiter as u8).then_some(())?;
        (time_s, rest) = (time * layout.unit.seconds(), after);
    }
    let value: f64 = fast_float2::parse(rest).ok()?;
    (time_s.is_finite() && value.is_finite()).then_some(Row { time_s, value })
}

/// Any other row, or what is wrong with it.
fn thoroughly(line: &[u8], layout: Layout) -> Result<Row, String> {
    let line = std::str::from_utf8(line).map_err(|_| NO_TEXT)?;
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
