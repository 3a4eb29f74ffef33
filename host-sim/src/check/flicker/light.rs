//! A light that stands still, as lines and as samples.

use std::ops::RangeInclusive;

use milliglow::Level;

use super::slow_light::SlowLight;
use crate::colour::Xy;
use crate::description::Description;
use crate::metrics::flicker::{Line, Samples, spectrum};
use crate::optics::{LineBand, PhasedLine, Steady, SteadyChannel, lines};
use crate::run::{Driven, LightSampler, Stand, core_curve, mean_light, steadied, steady, stream};

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
    pub(super) description: &'a Description,
    pub(super) recipe: usize,
    pub(super) level: Level,
    pub(super) driven: Vec<Driven>,
    pub(super) stands: Vec<Stand>,
    /// The channels in closed form, where they have one.
    channels: Vec<Option<Steady>>,
    /// All of them, if all have one.
    pub(super) closed: Option<Vec<Steady>>,
}

impl<'a> Light<'a> {
    pub(super) fn new(description: &'a Description, recipe: usize, level: Level) -> Self {
        let stands = steady(description, recipe, level).stands();
        let driven = Driven::all(description);
        let channels = steadied(description, &driven, &stands);
        Self {
            description,
            recipe,
            level,
            driven,
            stands,
            closed: channels.iter().copied().collect(),
            channels,
        }
    }

    /// The channels' chromaticities at their set points.
    pub(super) fn colours(&self) -> Vec<Xy> {
        let channels = self.driven.iter().zip(&self.stands);
        channels.map(|(driven, stand)| driven.xy(stand)).collect()
    }

    /// The longest time constant of a channel's decay in seconds; 0 where all light is prompt.
    pub(super) fn decay_s(&self) -> f64 {
        let decays = self.driven.iter().map(|driven| driven.decay.longest_s());
        decays.fold(0.0, f64::max)
    }

    /// The mean light of a channel over its full.
    pub(super) fn mean(&self, channel: usize) -> f64 {
        let (driven, stand) = (&self.driven[channel], &self.stands[channel]);
        mean_light(self.description, channel, driven, stand)
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
        let tick_hz = self.description.tick_hz;
        let mut sampler = LightSampler::new(&self.driven, weights, tick_hz, rates_hz);
        sampler.load(self.load());
        if self.decay_s() > 0.0 {
            let lights = 0..self.driven.len();
            sampler.settle(&lights.map(|channel| self.mean(channel)).collect::<Vec<_>>());
        }
        sampler
    }

    fn sampled<const W: usize>(&self, mut sampler: LightSampler<W>, seconds: f64) -> Vec<[f64; W]> {
        let mut values = Vec::new();
        let mut luminaire = steady(self.description, self.recipe, self.level);
        let words = (f64::from(self.description.tick_hz) * seconds / 32.0) as usize;
        stream(&mut luminaire, self.stands.len(), words, |words| {
            sampler.push(words, &self.stands, |sums| values.push(sums));
        });
        values
    }

    /// Light of the luminaire over its full.
    pub(super) fn load(&self) -> f64 {
        let curve = core_curve(self.description.curve);
        curve.light(self.level).as_f64()
    }

    /// Flux in lm of each of the first ticks.
    pub(super) fn ticks(&self, words: usize) -> Vec<f64> {
        let mut fluxes = vec![0.0; 32 * words];
        let mut luminaire = steady(self.description, self.recipe, self.level);
        let mut channels = self.lit();
        let mut begin = 0;
        stream(&mut luminaire, channels.len(), words, |slices| {
            let ticks = &mut fluxes[begin..begin + 32 * slices[0].len()];
            for (lit, slice) in channels.iter_mut().zip(slices) {
                let flux = lit.flux;
                lit.each_tick(slice, ticks, |tick, light| *tick += flux * light);
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
