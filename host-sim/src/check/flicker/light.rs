//! A light that stands still, as lines and as samples.

use std::ops::RangeInclusive;

use milliglow::Level;

use super::slow_light::SlowLight;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::flicker::{Line, Samples, spectrum};
use crate::optics::{LineBand, PhasedLine, Steady, SteadyChannel, Summed, lines};
use crate::run::{Driven, LightSampler, Stand, Supplied, core_curve, steadied, steady, stream};

/// Lines up to here are told: flicker of light is judged below 20 kHz.
const BAND: LineBand = LineBand {
    below_hz: 20_000.0,
    floor: 1e-4,
};
/// Slow lines count when they are weak, too.
pub(super) const SLOW_BAND: LineBand = LineBand {
    below_hz: 100.0,
    floor: 1e-5,
};
/// Where there is no closed form, lines come from a record sampled at such a rate, up to a quarter of it: 4 kHz, beyond every
/// limit that is judged.
const RECORD_HZ: RangeInclusive<u32> = 16_000..=20_000;
const RECORD_SECONDS: f64 = 2.1;

/// A recipe held at a Level.
pub(super) struct Light<'a> {
    description: &'a Description,
    recipe: usize,
    level: Level,
    /// The channels in closed form, where they have one.
    channels: Vec<Option<Steady>>,
    /// All of them, if all have one.
    closed: Option<Vec<Steady>>,
}

impl<'a> Light<'a> {
    pub(super) fn new(description: &'a Description, recipe: usize, level: Level) -> Self {
        let stands = steady(description, recipe, level).stands();
        let channels = steadied(description, &Driven::all(description), &stands);
        Self {
            description,
            recipe,
            level,
            closed: channels.iter().copied().collect(),
            channels,
        }
    }

    /// The channels in closed form, if all are of first order.
    pub(super) fn channels(&self) -> Option<Vec<SteadyChannel>> {
        let first_order = |channel: &Steady| match channel {
            Steady::FirstOrder(channel) => Some(*channel),
            Steady::Timer(_) => None,
        };
        self.closed.as_ref()?.iter().map(first_order).collect()
    }

    /// The light as a meter of slow flicker needs it.
    pub(super) fn slow(&self) -> SlowLight {
        SlowLight::new(self.description, self.recipe, self.level, &self.channels)
    }

    /// Lines 1 Hz wide at the nominal tick rate.
    pub(super) fn lines(&self) -> Vec<Line> {
        let lines = match &self.closed {
            Some(channels) => self.exact_lines(channels),
            None => self.recorded_lines(),
        };
        spectrum::sum_within_1_hz(&lines)
    }

    fn exact_lines(&self, channels: &[Steady]) -> Vec<Line> {
        let tick_hz = f64::from(self.description.tick_hz);
        let fast = lines(channels, tick_hz, BAND)
            .into_iter()
            .filter(|line| line.frequency_hz > SLOW_BAND.below_hz);
        let slow = lines(channels, tick_hz, SLOW_BAND);
        slow.into_iter().chain(fast).map(PhasedLine::line).collect()
    }

    fn recorded_lines(&self) -> Vec<Line> {
        let (values, rate_hz) = self.record(&fluxes(self.description));
        let values: Vec<_> = values.into_iter().map(|[flux]| flux).collect();
        spectrum::lines(Samples {
            rate_hz,
            values: &values,
        })
        .unwrap_or_default()
    }

    /// Weighted sums of the channels for 2.1 s, good up to 4 kHz, and samples a second.
    pub(super) fn record<const W: usize>(&self, weights: &[[f64; W]]) -> (Vec<[f64; W]>, f64) {
        let sampler = self.sampler(weights, RECORD_HZ);
        let rate_hz = sampler.sample_hz();
        (self.sampled(sampler, RECORD_SECONDS), rate_hz)
    }

    /// Flux in lm at `sample_hz`, free of what lies above half of it; its pass band ends at a quarter.
    pub(super) fn samples(&self, sample_hz: u32, seconds: f64) -> Vec<f64> {
        let sampler = self.sampler(&fluxes(self.description), sample_hz..=sample_hz);
        let values = self.sampled(sampler, seconds).into_iter();
        values.map(|[flux]| flux).collect()
    }

    fn sampler<const W: usize>(
        &self,
        weights: &[[f64; W]],
        rates_hz: RangeInclusive<u32>,
    ) -> LightSampler<W> {
        let driven = Driven::all(self.description);
        LightSampler::new(&driven, weights, self.description.tick_hz, rates_hz)
    }

    fn sampled<const W: usize>(&self, mut sampler: LightSampler<W>, seconds: f64) -> Vec<[f64; W]> {
        let mut values = Vec::new();
        let mut luminaire = steady(self.description, self.recipe, self.level);
        let stands = luminaire.stands();
        sampler.load(self.load());
        let words = (f64::from(self.description.tick_hz) * seconds / 32.0) as usize;
        stream(&mut *luminaire, stands.len(), words, |words| {
            sampler.push(words, &stands, |sums| values.push(sums));
        });
        values
    }

    /// Light of the luminaire over its full.
    fn load(&self) -> f64 {
        let curve = core_curve(self.description.curve);
        curve.light(self.level).as_f64()
    }

    /// Flux in lm of each of the first ticks.
    pub(super) fn ticks(&self, words: usize) -> Vec<f64> {
        let mut fluxes = vec![0.0; 32 * words];
        let mut luminaire = steady(self.description, self.recipe, self.level);
        let mut channels = gated(self.description, &luminaire.stands(), self.load());
        let mut begin = 0;
        stream(&mut *luminaire, channels.len(), words, |slices| {
            let ticks = &mut fluxes[begin..begin + 32 * slices[0].len()];
            for ((flux, gated), slice) in channels.iter_mut().zip(slices) {
                each_tick(gated, slice, ticks, |tick, light| *tick += *flux * light);
            }
            begin += ticks.len();
        });
        fluxes
    }
}

/// What an unbroken 1 of each channel gives at its highest set point.
pub(super) fn fluxes(description: &Description) -> Vec<[f64; 1]> {
    let channels = description.channels.iter();
    channels.map(|channel| [channel.flux_lm]).collect()
}

/// Each channel's driver, dark, with what an unbroken 1 gives where the channel stands.
fn gated(description: &Description, stands: &[Stand], load: f64) -> Vec<(f64, Supplied)> {
    let channels = description.channels.iter().zip(stands);
    channels
        .map(|(channel, stand)| {
            let driven = Driven::new(description, channel);
            let full = driven.rows[stand.row].full;
            (channel.flux_lm * full, driven.supplied(load))
        })
        .collect()
}

/// Shows the light of each tick, over that of an unbroken 1.
fn each_tick<T>(
    gated: &mut Supplied,
    words: &[u32],
    ticks: &mut [T],
    mut see: impl FnMut(&mut T, f64),
) {
    for (word, ticks) in words.iter().zip(ticks.chunks_mut(32)) {
        for (k, tick) in ticks.iter_mut().enumerate() {
            see(tick, gated.tick(word << k >> 31 == 1));
        }
    }
}

/// A channel's chromaticity, and its light summed from the first tick to a time in seconds.
pub(super) type SummedChannel<'a> = (Xy, Box<dyn Fn(f64) -> f64 + 'a>);

impl Light<'_> {
    /// Every channel's light summed over time: in closed form, or of a record of so many seconds.
    pub(super) fn summed<'b>(&self, seconds: f64) -> Vec<SummedChannel<'b>> {
        let colours = self.description.channels.iter().map(|channel| Xy {
            x: channel.x,
            y: channel.y,
        });
        let tick_hz = f64::from(self.description.tick_hz);
        match &self.closed {
            Some(channels) => {
                let closed = channels.iter().map(|&channel| {
                    Box::new(move |seconds: f64| channel.light_until(seconds * tick_hz))
                        as Box<dyn Fn(f64) -> f64>
                });
                colours.zip(closed).collect()
            }
            None => colours.zip(self.recorded(seconds)).collect(),
        }
    }

    fn recorded<'b>(&self, seconds: f64) -> Vec<Box<dyn Fn(f64) -> f64 + 'b>> {
        let tick_hz = f64::from(self.description.tick_hz);
        let words = (seconds * tick_hz / 32.0).ceil() as usize + 1;
        let mut luminaire = steady(self.description, self.recipe, self.level);
        let mut channels = gated(self.description, &luminaire.stands(), self.load());
        let mut sums = vec![Vec::with_capacity(32 * words + 1); channels.len()];
        stream(&mut *luminaire, sums.len(), words, |slices| {
            for (((_, gated), sums), slice) in channels.iter_mut().zip(&mut sums).zip(slices) {
                let mut ticks = vec![0.0; 32 * slice.len()];
                each_tick(gated, slice, &mut ticks, |tick, light| *tick = light);
                sums.extend(ticks);
            }
        });
        let summed = sums.into_iter().zip(channels).map(|(ticks, (flux, _))| {
            let summed = Summed::new(ticks);
            Box::new(move |seconds: f64| flux * summed.light_until(seconds * tick_hz))
                as Box<dyn Fn(f64) -> f64>
        });
        summed.collect()
    }
}

/// Lines on a clock that runs `factor` times as fast.
pub(super) fn at_clock(lines: &[Line], factor: f64) -> Vec<Line> {
    lines
        .iter()
        .map(|line| Line {
            frequency_hz: line.frequency_hz * factor,
            ..*line
        })
        .collect()
}
