//! A linear-phase low-pass filter that thins its samples: Kaiser's window, so its stop band is known before it is built.

use std::f64::consts::PI;

/// Attenuation that the windows are made for, in dB: lines of twice the mean end below 1e-5 of it.
const ATTENUATION_DB: f64 = 112.0;

/// What a filter lets through, in cycles a sample of its input.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edges {
    /// End of the pass band.
    pub(super) pass: f64,
    /// Begin of the stop band.
    pub(super) stop: f64,
}

/// Taps of odd number, symmetric, their sum 1: the inverse transform of `response` (of cycles a sample) up to the
/// middle of the edges, windowed.
///
/// *Source*: Kaiser 1974 for the window and its two formulas (from memory; the response is measured in tests).
pub(super) fn taps(edges: Edges, response: impl Fn(f64) -> f64) -> Vec<f64> {
    let width = 2.0 * PI * (edges.stop - edges.pass);
    let half = ((ATTENUATION_DB - 7.95) / (2.285 * width) / 2.0).ceil();
    let beta = 0.1102 * (ATTENUATION_DB - 8.7);
    let cutoff = (edges.pass + edges.stop) / 2.0;
    let reach = half as i32;
    let windowed = |place: f64| {
        let window = bessel_0(beta * (1.0 - (place / half).powi(2)).sqrt()) / bessel_0(beta);
        window * impulse(place, cutoff, &response)
    };
    let taps: Vec<f64> = (-reach..=reach)
        .map(|place| windowed(f64::from(place)))
        .collect();
    let sum: f64 = taps.iter().sum();
    taps.iter().map(|tap| tap / sum).collect()
}

/// `2 x integral of response(f) cos(2 pi f place)` from 0 to `cutoff`, by Simpson's rule.
fn impulse(place: f64, cutoff: f64, response: &impl Fn(f64) -> f64) -> f64 {
    const PIECES: i32 = 2_000;
    let step = cutoff / f64::from(PIECES);
    let sum: f64 = (0..=PIECES)
        .map(|piece| {
            let frequency = step * f64::from(piece);
            let weight = match piece {
                0 | PIECES => 1.0,
                odd if odd % 2 == 1 => 4.0,
                _ => 2.0,
            };
            weight * response(frequency) * (2.0 * PI * frequency * place).cos()
        })
        .sum();
    2.0 * sum * step / 3.0
}

/// The modified Bessel function of the first kind and order 0, by its series.
fn bessel_0(x: f64) -> f64 {
    let (mut term, mut sum, mut k) = (1.0, 1.0, 1.0);
    while term > 1e-17 * sum {
        term *= (x / (2.0 * k)).powi(2);
        sum += term;
        k += 1.0;
    }
    sum
}

/// Keeps every `factor`-th filtered sample of `W` values each.
#[derive(Clone, Debug)]
pub(super) struct Thinning<const W: usize> {
    taps: Vec<f64>,
    factor: usize,
    /// Samples not yet done with, a row a value; the next output begins at `begin`.
    waiting: [Vec<f64>; W],
    begin: usize,
}

impl<const W: usize> Thinning<W> {
    pub(super) fn new(taps: Vec<f64>, factor: usize) -> Self {
        Self {
            taps,
            factor,
            waiting: std::array::from_fn(|_| Vec::new()),
            begin: 0,
        }
    }

    /// Samples of input from the begin of the record to the middle of the first output.
    pub(super) fn delay(&self) -> usize {
        self.taps.len() / 2
    }

    /// Takes a sample; now and then gives one.
    pub(super) fn push(&mut self, sample: [f64; W]) -> Option<[f64; W]> {
        for (row, value) in self.waiting.iter_mut().zip(sample) {
            row.push(value);
        }
        if self.waiting[0].len() < self.begin + self.taps.len() {
            return None;
        }
        let window = self.begin..self.begin + self.taps.len();
        let out = std::array::from_fn(|row| dot(&self.taps, &self.waiting[row][window.clone()]));
        self.begin += self.factor;
        if self.begin >= 4 * self.taps.len() {
            self.forget();
        }
        Some(out)
    }

    /// Drops what is done with; done seldom, so that moving the rest costs little.
    fn forget(&mut self) {
        for row in &mut self.waiting {
            row.drain(..self.begin);
        }
        self.begin = 0;
    }
}

/// Four sums side by side, so that the processor need not wait for each addition.
fn dot(taps: &[f64], samples: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (taps, last_taps) = taps.as_chunks::<4>();
    let (samples, last_samples) = samples.as_chunks::<4>();
    for (taps, samples) in taps.iter().zip(samples) {
        for ((sum, tap), sample) in sums.iter_mut().zip(taps).zip(samples) {
            *sum += tap * sample;
        }
    }
    let last = last_taps.iter().zip(last_samples);
    sums.iter().sum::<f64>() + last.map(|(tap, sample)| tap * sample).sum::<f64>()
}
