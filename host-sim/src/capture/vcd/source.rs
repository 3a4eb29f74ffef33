//! The commands of a VCD, with their lines.

use std::fs::File;
use std::io::{self, BufReader};
use std::path::{Path, PathBuf};

use vcd::{Command, IdCode, Parser, TimescaleUnit};

use crate::capture::Refusal;

/// More signals than a luminaire or a logic analyser has.
const MOST_SIGNALS: usize = 1024;

/// All that is held of a file, in bytes.
const BUFFER: usize = 1 << 18;

/// A parser with the name of its file for errors.
pub(super) struct Source {
    file: PathBuf,
    parser: Parser<BufReader<File>>,
}

impl Source {
    pub(super) fn open(file: &Path) -> Result<Self, Refusal> {
        let opened = File::open(file).map_err(|error| Refusal::io(file, &error))?;
        Ok(Self {
            file: file.to_owned(),
            parser: Parser::new(BufReader::with_capacity(BUFFER, opened)),
        })
    }

    pub(super) fn refuse(&self, what: impl Into<String>) -> Refusal {
        Refusal::at(&self.file, self.parser.line(), what)
    }

    pub(super) fn next(&mut self) -> Result<Option<Command>, Refusal> {
        self.parser
            .next()
            .transpose()
            .map_err(|error| self.unreadable(&error))
    }

    fn unreadable(&self, error: &io::Error) -> Refusal {
        match error.kind() {
            io::ErrorKind::InvalidData | io::ErrorKind::UnexpectedEof => {
                self.refuse(format!("no VCD of IEEE 1364: {error}"))
            }
            _ => Refusal::io(&self.file, error),
        }
    }

    /// Seconds a tick, and the one-bit signals. Read command by command: scopes may nest as deep as they like.
    pub(super) fn header(&mut self) -> Result<(f64, Vec<(String, IdCode)>), Refusal> {
        let (mut tick_s, mut signals) = (None, Vec::new());
        loop {
            match self.next()? {
                Some(Command::Timescale(count, unit)) => {
                    tick_s = Some(f64::from(count) * seconds(unit));
                }
                Some(Command::VarDef(_, 1, code, name, _)) => signals.push((name, code)),
                Some(Command::Enddefinitions) => break,
                Some(_) => {}
                None => {
                    return Err(self.refuse("ends before $enddefinitions; allowed is a whole VCD"));
                }
            }
            if signals.len() > MOST_SIGNALS {
                return Err(self.refuse(format!(
                    "more than {MOST_SIGNALS} signals; allowed are fewer"
                )));
            }
        }
        match tick_s {
            Some(tick_s) if tick_s > 0.0 => Ok((tick_s, signals)),
            _ => Err(self.refuse("no $timescale; allowed is one such as $timescale 1 ns $end")),
        }
    }
}

fn seconds(unit: TimescaleUnit) -> f64 {
    match unit {
        TimescaleUnit::S => 1.0,
        TimescaleUnit::MS => 1e-3,
        TimescaleUnit::US => 1e-6,
        TimescaleUnit::NS => 1e-9,
        TimescaleUnit::PS => 1e-12,
        TimescaleUnit::FS => 1e-15,
    }
}
