//! VCD (IEEE 1364): one-bit signals as streams, each with the light that it gives while it is 1.

use std::collections::HashMap;
use std::fs::File;
use std::io::{self, BufReader};
use std::path::{Path, PathBuf};

use vcd::{Command, IdCode, Parser, TimescaleUnit, Value};

use super::pieces::blocks;
use super::{Options, Pieces, Refusal, VCD_RATE_HZ, asked_rate};
use crate::optics::EdgeSampler;

/// Longest time without an edge: beyond it nothing was recorded, or a time is damaged.
const LONGEST_PAUSE_S: f64 = 600.0;
/// Rates in Hz that the light of edges is sampled at.
const RATES_HZ: std::ops::RangeInclusive<f64> = 100.0..=1e6;
/// More signals than a luminaire or a logic analyser has.
const MOST_SIGNALS: usize = 1024;

#[derive(Clone, Debug)]
pub(super) struct Form {
    rate_hz: f64,
    weights: HashMap<IdCode, f64>,
    tick_s: f64,
}

/// A parser with the name of its file for errors.
struct Source {
    file: PathBuf,
    parser: Parser<BufReader<File>>,
}

impl Form {
    pub(super) fn of(file: &Path, options: &Options) -> Result<Self, Refusal> {
        let rate_hz = asked_rate(file, options)?.unwrap_or(VCD_RATE_HZ);
        if !RATES_HZ.contains(&rate_hz) {
            let what = format!("a rate of {rate_hz} Hz for a VCD; allowed are 100 Hz to 1 MHz");
            return Err(Refusal::of(file, what));
        }
        let (tick_s, signals) = Source::open(file)?.header()?;
        Ok(Self {
            rate_hz,
            weights: weights(file, signals, &options.weights)?,
            tick_s,
        })
    }

    pub(super) fn rate_hz(&self) -> f64 {
        self.rate_hz
    }

    pub(super) fn pieces(&self, file: &Path) -> Result<Pieces, Refusal> {
        let mut source = Source::open(file)?;
        source.header()?;
        let mut light = StreamLight::new(self);
        Ok(blocks(move |block| {
            let Some(command) = source.next()? else {
                return light.end(&source).map(|()| false);
            };
            light.obey(&command, &source, block).map(|()| true)
        }))
    }
}

impl Source {
    fn open(file: &Path) -> Result<Self, Refusal> {
        let opened = File::open(file).map_err(|error| Refusal::io(file, &error))?;
        Ok(Self {
            file: file.to_owned(),
            parser: Parser::new(BufReader::new(opened)),
        })
    }

    fn refuse(&self, what: impl Into<String>) -> Refusal {
        Refusal::at(&self.file, self.parser.line(), what)
    }

    fn next(&mut self) -> Result<Option<Command>, Refusal> {
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
    fn header(&mut self) -> Result<(f64, Vec<(String, IdCode)>), Refusal> {
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

/// What each signal's code gives, all signals named or, without names, all alike.
fn weights(
    file: &Path,
    signals: Vec<(String, IdCode)>,
    asked: &[(String, f64)],
) -> Result<HashMap<IdCode, f64>, Refusal> {
    let mut weights = HashMap::new();
    if asked.is_empty() {
        signals
            .iter()
            .for_each(|(_, code)| *weights.entry(*code).or_default() += 1.0);
    }
    for (name, weight) in asked {
        let Some((_, code)) = signals.iter().find(|signal| signal.0 == *name) else {
            let names: Vec<_> = signals.iter().map(|signal| &*signal.0).take(20).collect();
            let what = format!(
                "no one-bit signal {name:?}; allowed are {}",
                names.join(", ")
            );
            return Err(Refusal::of(file, what));
        };
        *weights.entry(*code).or_default() += weight;
    }
    if weights.is_empty() {
        return Err(Refusal::of(
            file,
            "no one-bit signal; allowed are one or more",
        ));
    }
    Ok(weights)
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

/// The light of all signals, from edge to edge.
struct StreamLight {
    /// Weight and state of each signal; no state before its first value.
    signals: HashMap<IdCode, (f64, Option<bool>)>,
    tick_s: f64,
    time: Option<u64>,
    sampler: EdgeSampler<1>,
}

impl StreamLight {
    fn new(form: &Form) -> Self {
        let unknown = |(&code, &weight): (&IdCode, &f64)| (code, (weight, None));
        Self {
            signals: form.weights.iter().map(unknown).collect(),
            tick_s: form.tick_s,
            time: None,
            sampler: EdgeSampler::new(form.rate_hz),
        }
    }

    fn obey(
        &mut self,
        command: &Command,
        source: &Source,
        samples: &mut Vec<f64>,
    ) -> Result<(), Refusal> {
        match command {
            Command::Timestamp(time) => self.advance(*time, source, samples),
            Command::ChangeScalar(code, value) => self.change(*code, *value, source),
            Command::ChangeVector(code, bits) if bits.len() == 1 => {
                self.change(*code, bits.get(0).unwrap_or(Value::X), source)
            }
            _ => Ok(()),
        }
    }

    fn change(&mut self, code: IdCode, value: Value, source: &Source) -> Result<(), Refusal> {
        let Some((_, state)) = self.signals.get_mut(&code) else {
            return Ok(());
        };
        *state = match value {
            Value::V0 => Some(false),
            Value::V1 => Some(true),
            // A dump begins with unknown states; they count once time passes.
            Value::X | Value::Z if self.time.is_none() => None,
            Value::X | Value::Z => {
                return Err(
                    source.refuse(format!("state {value} of a signal; allowed are 0 and 1"))
                );
            }
        };
        Ok(())
    }

    fn advance(
        &mut self,
        time: u64,
        source: &Source,
        samples: &mut Vec<f64>,
    ) -> Result<(), Refusal> {
        let Some(before) = self.time.replace(time) else {
            return Ok(());
        };
        let Some(ticks) = time.checked_sub(before) else {
            return Err(source.refuse(format!(
                "time runs backwards, from {before} to {time}; allowed are rising times"
            )));
        };
        let lasts_s = ticks as f64 * self.tick_s;
        if lasts_s > LONGEST_PAUSE_S {
            return Err(source.refuse(format!(
                "no change for {lasts_s:.0} s; allowed are {LONGEST_PAUSE_S} s"
            )));
        }
        if ticks > 0 {
            let light = self.light(source)?;
            self.sampler
                .lasts([light], lasts_s, |[sample]| samples.push(sample));
        }
        Ok(())
    }

    fn light(&self, source: &Source) -> Result<f64, Refusal> {
        self.signals
            .values()
            .try_fold(0.0, |sum, (weight, state)| match state {
                Some(on) => Ok(sum + weight * f64::from(u8::from(*on))),
                None => Err(source.refuse(
                    "a signal has no state yet; allowed are 0 or 1 from the first time on",
                )),
            })
    }

    /// What is said after the last time never lasted.
    fn end(&self, source: &Source) -> Result<(), Refusal> {
        match self.time {
            Some(_) => Ok(()),
            None => Err(source.refuse("no time in it; allowed are two or more")),
        }
    }
}
