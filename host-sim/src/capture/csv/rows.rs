//! The rows of numbers, each checked.

use std::fs::File;
use std::io::{self, Cursor, ErrorKind, Read};
use std::mem::take;
use std::path::{Path, PathBuf};

use super::decimal::decimal;
use super::layout::{Layout, NO_TEXT, number};
use super::lines::{LONGEST, Lines};
use super::parsing::{Block, Parsing, UNDERWAY};
use crate::capture::Refusal;

/// Text that is parsed at a time, in bytes.
pub(super) const BLOCK_BYTES: usize = 1 << 18;

#[derive(Clone, Copy)]
pub(super) struct Row {
    /// Seconds; 0 without a column of times.
    pub(super) time_s: f64,
    pub(super) value: f64,
}

/// Rows in the order of the file; times rise. *Memory*: a few blocks, whatever the length.
pub(super) struct Rows {
    file: PathBuf,
    reader: Box<dyn Read>,
    layout: Layout,
    parsing: Parsing,
    /// What of a line has been read beyond the last block.
    begun: Vec<u8>,
    /// What ended the reading; told after the rows before it.
    ended: Option<Result<(), Refusal>>,
    block: Block,
    /// Rows of the block that have been given, and lines before it.
    given: usize,
    lines_before: u64,
    /// Of an irregular block.
    lines: Option<Lines>,
    header_is_due: bool,
    before_s: f64,
}

impl Rows {
    pub(super) fn open(file: &Path, layout: Layout) -> Result<Self, Refusal> {
        let opened = File::open(file).map_err(|error| Refusal::io(file, &error))?;
        Ok(Self::of(file, Box::new(opened), layout))
    }

    /// Rows of anything, under the name of a file.
    pub(super) fn of(file: &Path, reader: Box<dyn Read>, layout: Layout) -> Self {
        Self {
            file: file.to_owned(),
            reader,
            layout,
            parsing: Parsing::new(layout),
            begun: Vec::new(),
            ended: None,
            block: Block::default(),
            given: 0,
            lines_before: 0,
            lines: None,
            header_is_due: layout.has_header,
            before_s: f64::NEG_INFINITY,
        }
    }

    fn read(&mut self) -> Result<Option<Row>, Refusal> {
        loop {
            if let Some(row) = self.block.rows.get(self.given).copied() {
                self.given += 1;
                return self.rising(row, self.lines_before + self.given as u64);
            }
            if let Some(lines) = &mut self.lines {
                let Some(line) = lines.next()? else {
                    self.lines = None;
                    continue;
                };
                if !take(&mut self.header_is_due) {
                    let row = self.layout.row(line).map_err(|what| lines.refuse(what))?;
                    let number = lines.number();
                    return self.rising(row, number);
                }
            } else if !self.next_block()? {
                return Ok(None);
            }
        }
    }

    fn rising(&mut self, row: Row, line: u64) -> Result<Option<Row>, Refusal> {
        if self.layout.has_times && row.time_s <= self.before_s {
            let what = format!(
                "time runs backwards, from {} s to {} s; allowed are rising times",
                self.before_s, row.time_s
            );
            return Err(Refusal::at(&self.file, line, what));
        }
        self.before_s = row.time_s;
        Ok(Some(row))
    }

    /// False after the last one.
    fn next_block(&mut self) -> Result<bool, Refusal> {
        while self.ended.is_none() && self.parsing.underway() < UNDERWAY {
            self.read_block();
        }
        if self.parsing.underway() == 0 {
            return self.ended.take().unwrap_or(Ok(())).map(|()| false);
        }
        let done = take(&mut self.block);
        self.lines_before += memchr::memchr_iter(b'\n', &done.text).count() as u64;
        self.given = 0;
        self.block = self.parsing.take(done);
        if self.header_is_due || self.block.is_irregular {
            self.block.rows.clear();
            // Nothing else looks at the text but for its line ends.
            let text = Box::new(Cursor::new(self.block.text.clone()));
            self.lines = Some(Lines::after(&self.file, self.lines_before, text));
        }
        Ok(true)
    }

    /// Reads whole lines, or what there is, and has them parsed.
    fn read_block(&mut self) {
        let mut block = self.parsing.spare();
        block.text.clear();
        block.text.append(&mut self.begun);
        match self.read_on(&mut block.text) {
            Ok(0) => self.ended = Some(Ok(())),
            Ok(_) => match memchr::memrchr(b'\n', &block.text) {
                Some(end) => self.begun = block.text.split_off(end + 1),
                // A line that is too long is refused by whoever looks at it.
                None if block.text.len() > LONGEST => {}
                None => self.begun.append(&mut block.text),
            },
            Err(error) => {
                self.ended = Some(Err(Refusal::io(&self.file, &error)));
                block.text.clear();
            }
        }
        if !block.text.is_empty() {
            self.parsing.give(block);
        }
    }

    /// Appends what comes next; gives how much came.
    fn read_on(&mut self, text: &mut Vec<u8>) -> io::Result<usize> {
        let begun = text.len();
        text.resize(begun + BLOCK_BYTES, 0);
        let read = loop {
            match self.reader.read(&mut text[begun..]) {
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                read => break read,
            }
        };
        text.truncate(begun + *read.as_ref().unwrap_or(&0));
        read
    }
}

impl Iterator for Rows {
    type Item = Result<Row, Refusal>;

    fn next(&mut self) -> Option<Self::Item> {
        self.read().transpose()
    }
}

impl Layout {
    /// A row, or what is wrong with it.
    fn row(self, line: &[u8]) -> Result<Row, String> {
        match quickly(line, self) {
            Some(row) => Ok(row),
            None => thoroughly(line, self),
        }
    }
}

/// A row of bare numbers and nothing else: one look at each byte.
pub(super) fn quickly(line: &[u8], layout: Layout) -> Option<Row> {
    let (mut time_s, mut rest) = (0.0, line);
    if layout.has_times {
        let otherwise = || fast_float2::parse_partial::<f64, _>(line).ok();
        let (time, length) = decimal(line).or_else(otherwise)?;
        let (&delimiter, after) = line.get(length..)?.split_first()?;
        (delimiter == layout.delimiter as u8).then_some(())?;
        (time_s, rest) = (time * layout.unit.seconds(), after);
    }
    let value: f64 = match decimal(rest) {
        Some((value, length)) if length == rest.len() => value,
        _ => fast_float2::parse(rest).ok()?,
    };
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
