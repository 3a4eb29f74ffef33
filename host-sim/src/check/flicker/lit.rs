//! A light that stands still tick by tick, and summed over time.

use super::light::Light;
use crate::colour::Xy;
use crate::optics::Summed;
use crate::run::{Supplied, steady, stream};

/// A channel as it stands.
pub(super) struct LitChannel {
    /// Flux at its highest set point.
    pub(super) flux: f64,
    /// What an unbroken 1 gives of it.
    full: f64,
    supplied: Supplied,
}

impl LitChannel {
    /// Shows the light of each tick, over that of an unbroken 1 at the highest set point.
    pub(super) fn each_tick<T>(
        &mut self,
        words: &[u32],
        ticks: &mut [T],
        mut see: impl FnMut(&mut T, f64),
    ) {
        for (word, ticks) in words.iter().zip(ticks.chunks_mut(32)) {
            for (k, tick) in ticks.iter_mut().enumerate() {
                see(tick, self.supplied.light(word << k >> 31 == 1, self.full));
            }
        }
    }
}

/// A channel's chromaticity, and its light summed from the first tick to a time in seconds.
pub(super) type SummedChannel<'a> = (Xy, Box<dyn Fn(f64) -> f64 + 'a>);

impl Light<'_> {
    /// Each channel's driver, its light as if it had always been on where it decays.
    pub(super) fn lit(&self) -> Vec<LitChannel> {
        let channels = self.driven.iter().zip(&self.stands).enumerate();
        channels
            .map(|(channel, (driven, stand))| {
                let mut supplied = driven.supplied(self.load());
                if !driven.decay.is_none() {
                    supplied.settle(self.mean(channel));
                }
                LitChannel {
                    flux: self.description.channels[channel].flux_lm,
                    full: driven.rows[stand.row].full,
                    supplied,
                }
            })
            .collect()
    }

    /// Every channel's light summed over time: in closed form, or of a record of so many seconds.
    pub(super) fn summed<'b>(&self, seconds: f64) -> Vec<SummedChannel<'b>> {
        let colours = self.colours().into_iter();
        let tick_hz = f64::from(self.description.tick_hz);
        match &self.closed {
            Some(channels) if self.decay_s() == 0.0 => {
                let closed = channels.iter().map(|&channel| {
                    Box::new(move |seconds: f64| channel.light_until(seconds * tick_hz))
                        as Box<dyn Fn(f64) -> f64>
                });
                colours.zip(closed).collect()
            }
            _ => colours.zip(self.recorded(seconds)).collect(),
        }
    }

    fn recorded<'b>(&self, seconds: f64) -> Vec<Box<dyn Fn(f64) -> f64 + 'b>> {
        let tick_hz = f64::from(self.description.tick_hz);
        let words = (seconds * tick_hz / 32.0).ceil() as usize + 1;
        let mut luminaire = steady(self.description, self.recipe, self.level);
        let mut channels = self.lit();
        let mut sums = vec![Vec::with_capacity(32 * words + 1); channels.len()];
        stream(&mut luminaire, sums.len(), words, |slices| {
            for ((lit, sums), slice) in channels.iter_mut().zip(&mut sums).zip(slices) {
                let mut ticks = vec![0.0; 32 * slice.len()];
                lit.each_tick(slice, &mut ticks, |tick, light| *tick = light);
                sums.extend(ticks);
            }
        });
        let summed = sums.into_iter().zip(channels).map(|(ticks, lit)| {
            let flux = lit.flux;
            let summed = Summed::new(ticks);
            Box::new(move |seconds: f64| flux * summed.light_until(seconds * tick_hz))
                as Box<dyn Fn(f64) -> f64>
        });
        summed.collect()
    }
}
