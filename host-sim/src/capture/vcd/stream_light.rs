//! The light of one-bit signals, from edge to edge.

use std::collections::HashMap;

use vcd::{Command, IdCode, Value};

use super::Form;
use super::source::Source;
use crate::capture::Refusal;
use crate::optics::EdgeSampler;

/// Longest time without an edge: beyond it nothing was recorded, or a time is damaged.
const LONGEST_PAUSE_S: f64 = 600.0;

/// The light of all signals, from edge to edge.
pub(super) struct StreamLight {
    /// Weight and state of each signal; no state before its first value.
    signals: HashMap<IdCode, (f64, Option<bool>)>,
    tick_s: f64,
    time: Option<u64>,
    sampler: EdgeSampler<1>,
}

impl StreamLight {
    pub(super) fn new(form: &Form) -> Self {
        let unknown = |(&code, &weight): (&IdCode, &f64)| (code, (weight, None));
        Self {
            signals: form.weights.iter().map(unknown).collect(),
            tick_s: form.tick_s,
            time: None,
            sampler: EdgeSampler::new(form.rate_hz),
        }
    }

    pub(super) fn obey(
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
    pub(super) fn end(&self, source: &Source) -> Result<(), Refusal> {
        match self.time {
            Some(_) => Ok(()),
            None => Err(source.refuse("no time in it; allowed are two or more")),
        }
    }
}
