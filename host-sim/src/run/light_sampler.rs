//! Samples of the light of driven channels, from their streams.

use std::ops::RangeInclusive;

use super::decay_groups::Groups;
use super::driven::{Driven, Stand};
use super::supplied::Supplied;
use crate::optics::{EdgeSampler, LitRow};

/// Makes samples of `W` weighted sums of channels behind their drivers, with the bands of [`Decimator`](crate::optics::Decimator).
///
/// *Cost*: where every edge takes the same of the light, a decimator's; otherwise every tick of every channel is stepped.
pub struct LightSampler<const W: usize> {
    kind: Kind<W>,
    sample_hz: f64,
    first_sample_s: f64,
}

enum Kind<const W: usize> {
    Groups(Groups<W>),
    Ticks(Ticks<W>),
}

struct Ticks<const W: usize> {
    channels: Vec<([f64; W], Supplied, Vec<LitRow>)>,
    tick_s: f64,
    sampler: Box<EdgeSampler<W>>,
}

impl<const W: usize> LightSampler<W> {
    /// Of channels with what an unbroken 1 of each gives at its highest set point, at the lowest rate of a range whose spans are
    /// whole numbers of ticks, or at the lowest.
    #[must_use]
    pub fn new(
        driven: &[Driven],
        weights: &[[f64; W]],
        tick_hz: u32,
        rates_hz: RangeInclusive<u32>,
    ) -> Self {
        if driven.iter().all(|driven| driven.edges_add_up) {
            let groups = Groups::new(driven, weights, tick_hz, rates_hz);
            return Self {
                sample_hz: groups.sample_hz(),
                first_sample_s: groups.first_sample_s(),
                kind: Kind::Groups(groups),
            };
        }
        let channels = driven.iter().zip(weights);
        let channels = channels
            .map(|(driven, &weight)| (weight, driven.supplied(1.0), driven.rows.clone()))
            .collect();
        let sample_hz = f64::from(*rates_hz.start());
        let sampler = EdgeSampler::new(sample_hz);
        Self {
            sample_hz,
            first_sample_s: sampler.first_sample_s(),
            kind: Kind::Ticks(Ticks {
                channels,
                tick_s: 1.0 / f64::from(tick_hz),
                sampler: Box::new(sampler),
            }),
        }
    }

    /// Samples a second.
    #[must_use]
    pub fn sample_hz(&self) -> f64 {
        self.sample_hz
    }

    /// Time of the first sample in seconds after the first tick.
    #[must_use]
    pub fn first_sample_s(&self) -> f64 {
        self.first_sample_s
    }

    /// The supply carries another load from now on: the light of the luminaire over its full, 1 before it is told.
    pub fn load(&mut self, load: f64) {
        if let Kind::Ticks(ticks) = &mut self.kind {
            for (_, supplied, _) in &mut ticks.channels {
                supplied.load(load);
            }
        }
    }

    /// As if every channel had always given this mean light over its full, as far as light decays.
    pub fn settle(&mut self, lights: &[f64]) {
        match &mut self.kind {
            Kind::Groups(groups) => groups.settle(lights),
            Kind::Ticks(ticks) => {
                for ((_, supplied, _), &light) in ticks.channels.iter_mut().zip(lights) {
                    supplied.settle(light);
                }
            }
        }
    }

    /// Takes the next words of every channel, as many of each, with how the channels stand, and gives the samples that are ready.
    pub fn push(&mut self, words: &[&[u32]], stands: &[Stand], mut sample: impl FnMut([f64; W])) {
        match &mut self.kind {
            Kind::Groups(groups) => groups.push(words, stands, &mut sample),
            Kind::Ticks(ticks) => ticks.push(words, stands, &mut sample),
        }
    }
}

impl<const W: usize> Ticks<W> {
    fn push(&mut self, words: &[&[u32]], stands: &[Stand], sample: &mut impl FnMut([f64; W])) {
        for word in 0..words.first().map_or(0, |words| words.len()) {
            let bits = words.iter().map(|words| words[word]);
            let channels = self.channels.iter();
            let mut pairs = channels.zip(bits);
            if pairs.all(|((_, supplied, _), bits)| bits == 0 && supplied.is_dark()) {
                self.skip_word(sample);
            } else {
                self.push_word(word, words, stands, sample);
            }
        }
    }

    /// All channels are dark and stay so.
    fn skip_word(&mut self, sample: &mut impl FnMut([f64; W])) {
        for (_, supplied, _) in &mut self.channels {
            supplied.skip(32);
        }
        self.sampler.lasts([0.0; W], 32.0 * self.tick_s, sample);
    }

    fn push_word(
        &mut self,
        word: usize,
        words: &[&[u32]],
        stands: &[Stand],
        mut sample: &mut impl FnMut([f64; W]),
    ) {
        for tick in 0..32 {
            let mut sums = [0.0; W];
            let channels = self.channels.iter_mut().zip(words).zip(stands);
            for (((weight, supplied, rows), words), stand) in channels {
                let on = words[word] << tick >> 31 == 1;
                let light = supplied.light(on, rows[stand.row].full);
                for (sum, weight) in sums.iter_mut().zip(*weight) {
                    *sum += weight * light;
                }
            }
            self.sampler.lasts(sums, self.tick_s, &mut sample);
        }
    }
}
