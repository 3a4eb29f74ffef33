//! Samples of a light that moves, from its one-bit streams.
//!
//! The light is integrated exactly, three times over spans of 1 / 16 of the wanted period (a quadratic spline three
//! spans long), so that what lies near whole multiples of the span rate folds back 90 dB down: a single box would let
//! 1 / 32 of it through. Two filters of linear phase then thin the samples by 4 each; the second one makes the spline's
//! droop good.

use std::f64::consts::PI;
use std::ops::RangeInclusive;

use super::drivers::LightDecay;
use super::fir::{Edges, Thinning, taps};
use super::moments::Moments;
use super::span_decay::SpanDecay;
use super::spans::{Span, Spans};
use super::whole_spans::WholeSpans;

/// Spans in a sample.
pub(super) const SPANS: u32 = 16;

/// Each filter keeps one sample of so many.
const FACTOR: usize = 4;

/// Makes samples of `W` weighted sums of one-bit channels (flux, or X, Y and Z, or one channel each).
///
/// *Pass band*: flat to 0.1 % up to a quarter of the sample rate: 2 kHz at 8 kHz. *Stop band*: from half of the sample
/// rate up, without end, at least 90 dB down. *Phase*: linear; every sample stands for the light around its time.
/// *State*: constant, whatever the duration, while words come in pieces of bounded length. *Cost*: in proportion to the
/// sample rate: 180 s of five channels at 3 MHz to X, Y, Z at 8 kHz take 1.4 s of one core of a PC of 2024; a third of
/// that where the rate is free to make every span a whole number of ticks ([`Decimator::within`]).
#[derive(Clone, Debug)]
pub struct Decimator<const W: usize> {
    pub(super) weights: Vec<[f64; W]>,
    pub(super) words: Vec<Vec<u32>>,
    /// Channels that the words at hand light.
    pub(super) lit: Vec<usize>,
    pub(super) clock: Spans,
    pub(super) whole: Option<WholeSpans<W>>,
    pub(super) filter: SpanFilter<W>,
    sample_hz: f64,
}

impl<const W: usize> Decimator<W> {
    /// From ticks of `tick_hz` to `sample_hz` samples a second, both at least 1; `weights[channel]` is what an unbroken 1
    /// of the channel gives.
    #[must_use]
    pub fn new(weights: &[[f64; W]], tick_hz: u32, sample_hz: u32) -> Self {
        Self {
            weights: weights.to_vec(),
            words: vec![Vec::new(); weights.len()],
            lit: Vec::new(),
            clock: Spans::new(u64::from(tick_hz), u64::from(sample_hz) * u64::from(SPANS)),
            whole: None,
            filter: SpanFilter::new(),
            sample_hz: f64::from(sample_hz),
        }
    }

    /// The same at the lowest rate of a range whose spans are whole numbers of ticks; at the lowest rate if there is none.
    #[must_use]
    pub fn within(weights: &[[f64; W]], tick_hz: u32, sample_hz: RangeInclusive<u32>) -> Self {
        let ticks = tick_hz / (sample_hz.start() * SPANS);
        let plain = Self::new(weights, tick_hz, *sample_hz.start());
        if ticks * sample_hz.end() * SPANS < tick_hz {
            return plain;
        }
        Self {
            clock: Spans::new(u64::from(ticks), 1),
            whole: Some(WholeSpans::new(ticks)),
            sample_hz: f64::from(tick_hz) / f64::from(ticks * SPANS),
            ..plain
        }
    }

    /// The light of all channels decays.
    #[must_use]
    pub fn with_decay(mut self, decay: &LightDecay) -> Self {
        self.filter.decay = SpanDecay::new(decay, f64::from(SPANS) * self.sample_hz);
        self
    }

    /// As if the sums had always been these, as far as light decays.
    pub fn settle(&mut self, sums: [f64; W]) {
        self.filter.decay.settle(sums);
    }

    /// Samples a second.
    #[must_use]
    pub fn sample_hz(&self) -> f64 {
        self.sample_hz
    }

    /// Time of the first sample in seconds after the first tick; later ones follow at the sample rate.
    #[must_use]
    pub fn first_sample_s(&self) -> f64 {
        self.filter.delay_spans() / (f64::from(SPANS) * self.sample_hz)
    }

    /// Takes the next words of every channel, as many of each, the earliest tick in the most significant bit, and gives
    /// the samples that are ready.
    pub fn push(&mut self, words: &[&[u32]], mut sample: impl FnMut([f64; W])) {
        self.keep(words);
        if let Some(whole) = &mut self.whole {
            let filter = &mut self.filter;
            self.clock = whole.weighted(self.clock, &self.weights, &self.words, |moments| {
                if let Some(out) = filter.push(moments) {
                    sample(out);
                }
            });
        } else {
            self.look_for_light();
            if self.clock.are_short() {
                self.push_short(&mut sample);
            } else {
                self.push_split(&mut sample);
            }
        }
        self.forget();
    }

    pub(super) fn keep(&mut self, words: &[&[u32]]) {
        for (kept, new) in self.words.iter_mut().zip(words) {
            kept.extend_from_slice(new);
        }
    }

    /// A channel that the words at hand leave dark costs nothing.
    pub(super) fn look_for_light(&mut self) {
        let is_lit = |channel: &usize| self.words[*channel].iter().any(|&word| word != 0);
        self.lit.clear();
        self.lit.extend((0..self.words.len()).filter(is_lit));
    }

    /// The clock after the next span, if its end is at hand. The counting reads a word beyond the span's last.
    pub(super) fn next(&self) -> Option<Spans> {
        let at_hand = self.words.first().map_or(0, Vec::len);
        let after = self.clock.after();
        (after.begin() / 32 + 1 < at_hand).then_some(after)
    }

    /// Spans whose ends split ticks.
    pub(super) fn push_split(&mut self, sample: &mut impl FnMut([f64; W])) {
        while let Some(after) = self.next() {
            let moments = self.weighted(self.clock.span(&after));
            self.clock = after;
            if let Some(out) = self.filter.push(moments) {
                sample(out);
            }
        }
    }

    /// Moments of every weighted sum over a span.
    fn weighted(&self, span: Span) -> [Moments; W] {
        let mut sums = [[0.0; 3]; W];
        for &channel in &self.lit {
            let moments = span.moments(&self.words[channel]);
            let weights = &self.weights[channel];
            for (sum, weight) in sums.iter_mut().zip(weights) {
                for (sum, moment) in sum.iter_mut().zip(moments) {
                    *sum += weight * moment;
                }
            }
        }
        sums.map(|sum| span.to_unit(sum))
    }

    pub(super) fn forget(&mut self) {
        let done = self.clock.begin() / 32;
        for words in &mut self.words {
            words.drain(..done);
        }
        self.clock = self.clock.after_dropping(32 * done);
    }
}

/// From the moments of each span to samples: the spline, the decay of the light, then both filters.
#[derive(Clone, Debug)]
pub(super) struct SpanFilter<const W: usize> {
    spline: Spline<W>,
    decay: SpanDecay<W>,
    first: Thinning<W>,
    second: Thinning<W>,
}

impl<const W: usize> SpanFilter<W> {
    pub(super) fn new() -> Self {
        // In cycles a sample of each filter's input; what folds into the stop band is still stopped by the second.
        let first = Edges {
            pass: 1.0 / 64.0,
            stop: 7.0 / 32.0,
        };
        let second = Edges {
            pass: 1.0 / 16.0,
            stop: 1.0 / 8.0,
        };
        Self {
            spline: Spline::default(),
            decay: SpanDecay::new(&LightDecay::NONE, 1.0),
            first: Thinning::new(taps(first, |_| 1.0), FACTOR),
            second: Thinning::new(taps(second, |f| droop(f / FACTOR as f64).recip()), FACTOR),
        }
    }

    /// Spans from the first one's begin to the time that the first sample stands for.
    pub(super) fn delay_spans(&self) -> f64 {
        1.5 + self.first.delay() as f64 + (FACTOR * self.second.delay()) as f64
    }

    /// Takes the moments of the next span, for a time that runs from 0 to 1 over it; now and then gives a sample.
    pub(super) fn push(&mut self, moments: [Moments; W]) -> Option<[f64; W]> {
        let light = self.decay.push(self.spline.push(moments)?);
        self.first
            .push(light)
            .and_then(|light| self.second.push(light))
    }
}

/// What is left of a line of `f` cycles a span after three boxes of one span.
fn droop(f: f64) -> f64 {
    if f == 0.0 {
        1.0
    } else {
        ((PI * f).sin() / (PI * f)).powi(3)
    }
}

/// Light under a quadratic B-spline three spans long, once a span.
#[derive(Clone, Debug)]
struct Spline<const W: usize> {
    /// Sums that miss their last span, and their last two.
    open: [[f64; W]; 2],
    spans: u32,
}

impl<const W: usize> Default for Spline<W> {
    fn default() -> Self {
        Self {
            open: [[0.0; W]; 2],
            spans: 0,
        }
    }
}

impl<const W: usize> Spline<W> {
    /// Takes the moments of a span. The spline's pieces are u^2 / 2, (1 + 2 u - 2 u^2) / 2 and (1 - u)^2 / 2.
    fn push(&mut self, moments: [Moments; W]) -> Option<[f64; W]> {
        let piece = |a: f64, b: f64, c: f64| {
            moments.map(|[light, first, second]| (a * light + b * first + c * second) / 2.0)
        };
        let whole = plus(self.open[0], piece(1.0, -2.0, 1.0));
        self.open = [
            plus(self.open[1], piece(1.0, 2.0, -2.0)),
            piece(0.0, 0.0, 1.0),
        ];
        self.spans = (self.spans + 1).min(3);
        (self.spans == 3).then_some(whole)
    }
}

fn plus<const W: usize>(a: [f64; W], b: [f64; W]) -> [f64; W] {
    std::array::from_fn(|w| a[w] + b[w])
}
