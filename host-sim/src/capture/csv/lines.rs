//! The lines of a file that hold something, with their numbers.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use crate::capture::Refusal;

/// Longest line in bytes.
const LONGEST: u64 = 4096;

/// Lines, one at a time; comments and blank ones are left out.
pub(super) struct Lines {
    file: PathBuf,
    reader: BufReader<File>,
    number: u64,
    bytes: Vec<u8>,
}

impl Lines {
    pub(super) fn open(file: &Path) -> Result<Self, Refusal> {
        let opened = File::open(file).map_err(|error| Refusal::io(file, &error))?;
        Ok(Self {
            file: file.to_owned(),
            reader: BufReader::new(opened),
            number: 0,
            bytes: Vec::new(),
        })
    }

    /// The next line that holds something, trimmed.
    pub(super) fn next(&mut self) -> Result<Option<&str>, Refusal> {
        loop {
            self.bytes.clear();
            self.number += 1;
            let mut limited = self.reader.by_ref().take(LONGEST + 1);
            let length = limited
                .read_until(b'\n', &mut self.bytes)
                .map_err(|error| Refusal::io(&self.file, &error))?;
            if length == 0 {
                return Ok(None);
            }
            if length as u64 > LONGEST {
                return Err(self.refuse(format!(
                    "a line longer than {LONGEST} bytes; allowed are shorter ones"
                )));
            }
            let held = self.bytes.trim_ascii_start();
            if !held.is_empty() && !held.starts_with(b"#") {
                break;
            }
        }
        let text = std::str::from_utf8(&self.bytes);
        match text {
            // Some programs begin a file with a mark of its byte order.
            Ok(text) => Ok(Some(
                text.trim_start_matches('\u{feff}')
                    .trim_matches([' ', '\r', '\n']),
            )),
            Err(_) => Err(self.refuse("no text in UTF-8; allowed is a CSV")),
        }
    }

    pub(super) fn refuse(&self, what: impl Into<String>) -> Refusal {
        Refusal::at(&self.file, self.number, what)
    }
}
