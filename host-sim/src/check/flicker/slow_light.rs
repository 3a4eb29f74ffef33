//! A steady light as a meter of slow flicker needs it: the slow lines of the channels that have a closed form, and the streams
//! of the others.

use std::f64::consts::TAU;

use milliglow::Level;

use super::light::{SLOW_BAND, fluxes};
use crate::description::Description;
use crate::optics::{PhasedLine, Steady, lines};
use crate::run::{
    Driven, LightSampler, Stand, Stepped, core_curve, core_shares_at, steady_shares, stream,
};

/// Rate of samples where ticks are stepped: the lowest that the meter takes, or somewhat more, so that spans are whole ticks.
const STEPPED_HZ: std::ops::RangeInclusive<u32> = 2_000..=3_000;
/// Rate of samples of lines.
const LINES_HZ: f64 = 4_000.0;
/// Samples at a time.
const BLOCK: usize = 4_000;

/// A light that can be sampled once.
pub(super) struct SlowLight {
    /// Mean of the channels in closed form in lm, and their lines below 100 Hz.
    mean: f64,
    lines: Vec<PhasedLine>,
    stepped: Option<Streams>,
}

/// The channels that must be stepped.
struct Streams {
    luminaire: Box<dyn Stepped>,
    sampler: LightSampler<1>,
    stands: Vec<Stand>,
    tick_hz: f64,
}

impl SlowLight {
    /// Of channels that are in closed form, where they have one.
    pub(super) fn new(
        description: &Description,
        recipe: usize,
        level: Level,
        channels: &[Option<Steady>],
    ) -> Self {
        let closed: Vec<_> = channels.iter().copied().flatten().collect();
        Self {
            mean: closed.iter().map(Steady::mean).sum(),
            lines: lines(&closed, f64::from(description.tick_hz), SLOW_BAND),
            stepped: (closed.len() < channels.len())
                .then(|| Streams::new(description, recipe, level, channels)),
        }
    }

    /// Whether ticks must be stepped.
    pub(super) fn is_stepped(&self) -> bool {
        self.stepped.is_some()
    }

    /// Samples a second.
    pub(super) fn sample_hz(&self) -> f64 {
        let stepped = self.stepped.as_ref();
        stepped.map_or(LINES_HZ, |streams| streams.sampler.sample_hz())
    }

    /// Flux in lm for so many seconds, block by block.
    pub(super) fn sample(self, seconds: f64, mut see: impl FnMut(&[f64])) {
        let rate_hz = self.sample_hz();
        let begin_s = self.stepped.as_ref().map_or(0.0, Streams::first_sample_s);
        let oscillator = |line| Oscillator::new(line, self.mean, rate_hz, begin_s);
        let mut oscillators: Vec<_> = self.lines.iter().map(oscillator).collect();
        let mut closed = move |block: &mut [f64]| {
            block.iter_mut().for_each(|flux| *flux += self.mean);
            for oscillator in &mut oscillators {
                block.iter_mut().for_each(|flux| *flux += oscillator.next());
            }
        };
        match self.stepped {
            Some(streams) => streams.sample(seconds, |block| {
                closed(block);
                see(block);
            }),
            None => {
                for _ in 0..(seconds * rate_hz) as usize / BLOCK {
                    let mut block = [0.0; BLOCK];
                    closed(&mut block);
                    see(&block);
                }
            }
        }
    }
}

impl Streams {
    fn new(
        description: &Description,
        recipe: usize,
        level: Level,
        channels: &[Option<Steady>],
    ) -> Self {
        let shares = core_shares_at(&description.recipes[recipe], level);
        let shares = shares.iter().map(|share| share.as_f64()).zip(channels);
        // A channel in closed form stays dark here.
        let shares = shares.map(|(share, closed)| if closed.is_some() { 0.0 } else { share });
        let luminaire = steady_shares(description, &shares.collect::<Vec<_>>(), level);
        let mut sampler = LightSampler::new(
            &Driven::all(description),
            &fluxes(description),
            description.tick_hz,
            STEPPED_HZ,
        );
        sampler.load(core_curve(description.curve).light(level).as_f64());
        Self {
            stands: luminaire.stands(),
            luminaire,
            sampler,
            tick_hz: f64::from(description.tick_hz),
        }
    }

    fn first_sample_s(&self) -> f64 {
        self.sampler.first_sample_s()
    }

    fn sample(mut self, seconds: f64, mut see: impl FnMut(&mut [f64])) {
        let words = (self.tick_hz * seconds / 32.0) as usize;
        let mut block = Vec::new();
        stream(&mut self.luminaire, self.stands.len(), words, |words| {
            let sampler = &mut self.sampler;
            sampler.push(words, &self.stands, |[flux]| block.push(flux));
            see(&mut block);
            block.clear();
        });
    }
}

/// A line as a vector that turns by the same angle each sample.
struct Oscillator {
    along: f64,
    across: f64,
    turn: (f64, f64),
}

impl Oscillator {
    /// A line over a mean, from a time on.
    fn new(line: &PhasedLine, mean: f64, rate_hz: f64, begin_s: f64) -> Self {
        let turned = |seconds: f64| (TAU * line.frequency_hz * seconds).sin_cos();
        let (sine, cosine) = turned(begin_s);
        let (turn_sine, turn_cosine) = turned(rate_hz.recip());
        Self {
            along: mean * (line.cosine * cosine + line.sine * sine),
            across: mean * (line.sine * cosine - line.cosine * sine),
            turn: (turn_cosine, turn_sine),
        }
    }

    /// `cosine x cos + sine x sin` of the next sample.
    fn next(&mut self) -> f64 {
        let value = self.along;
        let (cosine, sine) = self.turn;
        (self.along, self.across) = (
            self.along * cosine + self.across * sine,
            self.across * cosine - self.along * sine,
        );
        value
    }
}

#[cfg(test)]
mod tests {
    use super::Oscillator;
    use crate::optics::PhasedLine;
    use std::f64::consts::TAU;

    #[test]
    fn an_oscillator_follows_its_line() {
        let line = PhasedLine {
            frequency_hz: 8.8,
            cosine: 0.3,
            sine: -0.7,
        };
        let mut oscillator = Oscillator::new(&line, 2.0, 4_000.0, 0.013);
        for k in 0..800_000 {
            let value = oscillator.next();
            let angle = TAU * 8.8 * (0.013 + f64::from(k) / 4_000.0);
            let expected = 0.6 * angle.cos() - 1.4 * angle.sin();
            assert!((value - expected).abs() < 2e-8, "sample {k}");
        }
    }
}
