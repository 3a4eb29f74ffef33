//! The lines of a file that hold something, with their numbers.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use crate::capture::Refusal;

/// Longest line in bytes.
pub(super) const LONGEST: usize = 4096;
/// All that is held of a file, in bytes.
const BUFFER: usize = 1 << 18;

/// Lines, one at a time; comments and blank ones are left out. *Memory*: one buffer, whatever the length.
pub(super) struct Lines {
    file: PathBuf,
    reader: Box<dyn Read>,
    number: u64,
    buffer: Box<[u8]>,
    /// What of the buffer is yet to be given.
    begin: usize,
    end: usize,
}

impl Lines {
    pub(super) fn open(file: &Path) -> Result<Self, Refusal> {
        let opened = File::open(file).map_err(|error| Refusal::io(file, &error))?;
        Ok(Self::after(file, 0, Box::new(opened)))
    }

    /// Lines of anything, under the name of a file, after so many others.
    pub(super) fn after(file: &Path, number: u64, reader: Box<dyn Read>) -> Self {
        Self {
            file: file.to_owned(),
            reader,
            number,
            buffer: vec![0; BUFFER].into(),
            begin: 0,
            end: 0,
        }
    }

    /// The next line that holds something, without spaces and line ends around it.
    pub(super) fn next(&mut self) -> Result<Option<&[u8]>, Refusal> {
        loop {
            let Some((begin, end)) = self.line()? else {
                return Ok(None);
            };
            let line = self.buffer[begin..end].trim_ascii_start();
            if !line.is_empty() && !line.starts_with(b"#") {
                return Ok(Some(trimmed(&self.buffer[begin..end])));
            }
        }
    }

    /// Where in the buffer the next line is, without its end.
    fn line(&mut self) -> Result<Option<(usize, usize)>, Refusal> {
        self.number += 1;
        let mut ended = false;
        loop {
            let held = &self.buffer[self.begin..self.end];
            let length = match memchr::memchr(b'\n', held) {
                Some(length) => length,
                None if held.len() <= LONGEST && !ended => {
                    ended = self.read_on()? == 0;
                    continue;
                }
                None => held.len(),
            };
            if length > LONGEST {
                return Err(self.refuse(format!(
                    "a line longer than {LONGEST} bytes; allowed are shorter ones"
                )));
            }
            let begin = self.begin;
            if ended && begin == self.end {
                return Ok(None);
            }
            self.begin = (begin + length + 1).min(self.end);
            return Ok(Some((begin, begin + length)));
        }
    }

    /// Moves what is left to the front and fills up; gives how much came.
    fn read_on(&mut self) -> Result<usize, Refusal> {
        self.buffer.copy_within(self.begin..self.end, 0);
        self.end -= self.begin;
        self.begin = 0;
        loop {
            match self.reader.read(&mut self.buffer[self.end..]) {
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => return Err(Refusal::io(&self.file, &error)),
                Ok(count) => {
                    self.end += count;
                    return Ok(count);
                }
            }
        }
    }

    /// Of the line that was given last, from 1.
    pub(super) fn number(&self) -> u64 {
        self.number
    }

    pub(super) fn refuse(&self, what: impl Into<String>) -> Refusal {
        Refusal::at(&self.file, self.number, what)
    }
}

/// Some programs begin a file with a mark of its byte order. Tabs stay: they may part columns.
fn trimmed(line: &[u8]) -> &[u8] {
    let blank = |byte: &u8| matches!(byte, b' ' | b'\r');
    let line = line.strip_prefix("\u{feff}".as_bytes()).unwrap_or(line);
    let begin = line
        .iter()
        .position(|byte| !blank(byte))
        .unwrap_or(line.len());
    let end = line
        .iter()
        .rposition(|byte| !blank(byte))
        .map_or(begin, |last| last + 1);
    &line[begin..end]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &'static [u8]) -> Result<Vec<(u64, String)>, Refusal> {
        let mut lines = Lines::after(Path::new("x.csv"), 0, Box::new(text));
        let mut all = Vec::new();
        while let Some(line) = lines.next()? {
            let line = String::from_utf8(line.to_vec()).unwrap();
            all.push((lines.number, line));
        }
        Ok(all)
    }

    #[test]
    fn lines_keep_their_numbers_whatever_ends_them() {
        let lines = all(b"\xef\xbb\xbfa,b\r\n\n# no\n 1,2 \n \n3\t").unwrap();
        let expected = [(1, "a,b"), (4, "1,2"), (6, "3\t")];
        assert_eq!(lines, expected.map(|(n, line)| (n, line.to_owned())));
        assert_eq!(all(b"").unwrap(), []);
        assert_eq!(all(b"1\n").unwrap(), [(1, "1".to_owned())]);
    }

    #[test]
    fn a_line_of_4096_bytes_is_the_longest() {
        let mut text = vec![b'1'; LONGEST];
        assert_eq!(all(text.clone().leak()).unwrap().len(), 1);
        text.push(b'1');
        let refusal = all(text.leak()).unwrap_err();
        assert_eq!(refusal.line(), Some(1));
    }
}
