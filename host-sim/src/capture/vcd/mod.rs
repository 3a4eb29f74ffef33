//! VCD (IEEE 1364): one-bit signals as streams, each with the light that it gives while it is 1.

mod source;
mod stream_light;

use std::collections::HashMap;
use std::path::Path;

use vcd::IdCode;

use super::pieces::blocks;
use super::{Options, Pieces, Refusal, VCD_RATE_HZ, asked_rate};
use source::Source;
use stream_light::StreamLight;

/// Rates in Hz that the light of edges is sampled at.
const RATES_HZ: std::ops::RangeInclusive<f64> = 100.0..=1e6;

#[derive(Clone, Debug)]
pub(super) struct Form {
    rate_hz: f64,
    weights: HashMap<IdCode, f64>,
    tick_s: f64,
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
