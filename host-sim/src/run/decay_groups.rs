//! Channels whose edges add up, those whose light decays alike sampled together.

use std::ops::RangeInclusive;

use super::driven::{Driven, Stand};
use crate::optics::drivers::LightDecay;
use crate::optics::{Decimator, Lanes};

/// Samples of `W` weighted sums of channels. *Cost*: a decimator's, and its filters for each kind of decay.
pub(super) struct Groups<const W: usize> {
    groups: Vec<Group<W>>,
    sums: Vec<[f64; W]>,
}

/// Channels whose light decays alike.
struct Group<const W: usize> {
    channels: Vec<usize>,
    weights: Vec<[f64; W]>,
    lanes: Lanes,
    decimator: Box<Decimator<W>>,
}

impl<const W: usize> Groups<W> {
    pub(super) fn new(
        driven: &[Driven],
        weights: &[[f64; W]],
        tick_hz: u32,
        rates_hz: RangeInclusive<u32>,
    ) -> Self {
        let mut kinds: Vec<(LightDecay, Vec<usize>)> = Vec::new();
        for (channel, driven) in driven.iter().enumerate() {
            match kinds.iter_mut().find(|(decay, _)| *decay == driven.decay) {
                Some((_, channels)) => channels.push(channel),
                None => kinds.push((driven.decay, vec![channel])),
            }
        }
        let group = |(decay, channels): (LightDecay, Vec<usize>)| {
            let rows = || channels.iter().map(|&k| driven[k].rows.as_slice());
            let weights: Vec<_> = channels.iter().map(|&k| weights[k]).collect();
            let lanes = Lanes::weights(weights.iter().copied().zip(rows()));
            let decimator = Decimator::within(&lanes, tick_hz, rates_hz.clone());
            Group {
                lanes: Lanes::new(rows()),
                decimator: Box::new(decimator.with_decay(&decay)),
                weights,
                channels,
            }
        };
        Self {
            groups: kinds.into_iter().map(group).collect(),
            sums: Vec::new(),
        }
    }

    pub(super) fn sample_hz(&self) -> f64 {
        self.groups[0].decimator.sample_hz()
    }

    pub(super) fn first_sample_s(&self) -> f64 {
        self.groups[0].decimator.first_sample_s()
    }

    /// As if every channel had always given this mean light.
    pub(super) fn settle(&mut self, lights: &[f64]) {
        for group in &mut self.groups {
            let mut sums = [0.0; W];
            for (&channel, weights) in group.channels.iter().zip(&group.weights) {
                for (sum, weight) in sums.iter_mut().zip(weights) {
                    *sum += weight * lights[channel];
                }
            }
            group.decimator.settle(sums);
        }
    }

    /// Takes the next words of every channel; every group has as many samples ready.
    pub(super) fn push(
        &mut self,
        words: &[&[u32]],
        stands: &[Stand],
        mut sample: &mut impl FnMut([f64; W]),
    ) {
        if let [group] = &mut self.groups[..] {
            return group.push(words, stands, &mut sample);
        }
        self.sums.clear();
        for group in &mut self.groups {
            let mut next = 0;
            group.push(words, stands, |more| {
                match self.sums.get_mut(next) {
                    Some(sums) => sums
                        .iter_mut()
                        .zip(more)
                        .for_each(|(sum, more)| *sum += more),
                    None => self.sums.push(more),
                }
                next += 1;
            });
        }
        self.sums.iter().for_each(|sums| sample(*sums));
    }
}

impl<const W: usize> Group<W> {
    fn push(&mut self, words: &[&[u32]], stands: &[Stand], sample: impl FnMut([f64; W])) {
        let words: Vec<_> = self.channels.iter().map(|&k| words[k]).collect();
        let rows = self.channels.iter().map(|&k| stands[k].row);
        self.lanes.add(&words, rows);
        self.decimator.push(&self.lanes.words(), sample);
        self.lanes.clear();
    }
}
