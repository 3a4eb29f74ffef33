//! Light as an exact Fourier series, and samples of it.

use milliglow_sim::metrics::flicker::Line;
use std::f64::consts::PI;

/// `mean + sum of cosine cos(2 pi f t) + sine sin(2 pi f t)`.
#[derive(Clone, Debug)]
pub struct Series {
    mean: f64,
    terms: Vec<Term>,
}

#[derive(Clone, Copy, Debug)]
struct Term {
    frequency_hz: f64,
    cosine: f64,
    sine: f64,
}

impl Series {
    /// Light of mean 1 with sines of these frequencies and modulations.
    #[must_use]
    pub fn tones(tones: &[(f64, f64)]) -> Self {
        let term = |&(frequency_hz, sine)| Term {
            frequency_hz,
            cosine: 0.0,
            sine,
        };
        Self {
            mean: 1.0,
            terms: tones.iter().map(term).collect(),
        }
    }

    /// `high` for the first `duty` of each period, else `low`.
    #[must_use]
    pub fn rectangle(hz: f64, duty: f64, low: f64, high: f64, up_to_hz: f64) -> Self {
        let height = high - low;
        Self::harmonics(low + height * duty, hz, up_to_hz, |n| {
            let angle = 2.0 * PI * n * duty;
            let scale = height / (PI * n);
            (scale * angle.sin(), scale * (1.0 - angle.cos()))
        })
    }

    /// `|sin(pi hz t)|`: its fundamental is at `hz`.
    #[must_use]
    pub fn rectified(hz: f64, up_to_hz: f64) -> Self {
        let cosine = |n: f64| -4.0 / (PI * (4.0 * n * n - 1.0));
        Self::harmonics(2.0 / PI, hz, up_to_hz, |n| (cosine(n), 0.0))
    }

    /// A symmetric triangle from 0 to 1.
    #[must_use]
    pub fn triangle(hz: f64, up_to_hz: f64) -> Self {
        let cosine = |n: f64| (n % 2.0) * -4.0 / (PI * n).powi(2);
        Self::harmonics(0.5, hz, up_to_hz, |n| (cosine(n), 0.0))
    }

    /// A sawtooth from 0 to 1.
    #[must_use]
    pub fn sawtooth(hz: f64, up_to_hz: f64) -> Self {
        Self::harmonics(0.5, hz, up_to_hz, |n| (0.0, -1.0 / (PI * n)))
    }

    fn harmonics(mean: f64, hz: f64, up_to_hz: f64, term: impl Fn(f64) -> (f64, f64)) -> Self {
        let last = (up_to_hz / hz).floor() as u32;
        let terms = (1..=last).map(|n| {
            let (cosine, sine) = term(f64::from(n));
            Term {
                frequency_hz: f64::from(n) * hz,
                cosine,
                sine,
            }
        });
        Self {
            mean,
            terms: terms.collect(),
        }
    }

    /// Its lines, those of no amplitude left out.
    #[must_use]
    pub fn lines(&self) -> Vec<Line> {
        let line = |term: &Term| Line {
            frequency_hz: term.frequency_hz,
            amplitude: term.cosine.hypot(term.sine) / self.mean,
        };
        let lines = self.terms.iter().map(line);
        lines.filter(|line| line.amplitude > 1e-12).collect()
    }

    /// The series at `count` instants. It is band-limited as it stands: keep its terms below half the rate.
    #[must_use]
    pub fn sampled(&self, rate_hz: f64, count: usize) -> Vec<f64> {
        let mut values = vec![self.mean; count];
        for term in &self.terms {
            term.add(rate_hz, &mut values);
        }
        values
    }
}

impl Term {
    /// Turns a pointer from sample to sample; a sine for each would take ten times as long.
    fn add(&self, rate_hz: f64, values: &mut [f64]) {
        let (turn_sine, turn_cosine) = (2.0 * PI * self.frequency_hz / rate_hz).sin_cos();
        let (mut sine, mut cosine) = (0.0, 1.0);
        for value in values {
            *value += self.cosine * cosine + self.sine * sine;
            (sine, cosine) = (
                sine * turn_cosine + cosine * turn_sine,
                cosine * turn_cosine - sine * turn_sine,
            );
        }
    }
}
