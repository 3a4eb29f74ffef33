//! Light to momentary flicker Pinst: band-pass, eye and brain, square, smoothing.

use super::section::Section;
use std::f64::consts::PI;

/// Corner of the high-pass, Hz.
const HIGH_PASS_HZ: f64 = 0.05;

/// Corner of the Butterworth low-pass of order six, Hz.
const LOW_PASS_HZ: f64 = 35.0;

/// The weighting of equation (A.5), `(0.041661 s^4 + 44.758 s^3 + 2715.6 s^2 + 29839 s) / (s^4 + 196.32 s^3 + 11781 s^2 +
/// 534820 s + 3505380)`, in factors: `GAIN s (s + Z0) (s + Z1) (s + Z2) / ((s + P0) (s + P1) (s^2 + DAMPING s + SQUARE))`.
const GAIN: f64 = 0.041_661;
const ZEROS: [f64; 3] = [
    14.325_108_239_834_963,
    49.477_181_237_796_19,
    1_010.535_820_505_326_5,
];
const POLES: [f64; 2] = [7.699_095_029_783_818, 137.604_846_021_738_24];
const DAMPING: f64 = 51.016_058_948_477_8;
const SQUARE: f64 = 3_308.732_791_789_268_5;

/// Time constant of the smoothing, s.
const SMOOTHING_S: f64 = 0.3;

/// Sets Pinst to 1 for a sine that is just perceived. Source: a public reference function of 2017 for IEC TR 61547-1.
const SCALE: f64 = 1_101_603.155_420_234;

/// The chain at one sample rate.
#[derive(Clone, Debug)]
pub(super) struct Response {
    linear: [Section; 6],
    smoothing: Section,
}

impl Response {
    pub(super) fn new(rate_hz: f64) -> Self {
        let k = 2.0 * rate_hz;
        let [wide, middle, narrow] = [1.0, 3.0, 5.0].map(|odd| low_pass(odd, rate_hz));
        let [slow, fast] = weighting(k);
        Self {
            linear: [high_pass(k), wide, middle, narrow, slow, fast],
            smoothing: Section::first_order([1.0, 0.0], [1.0, SMOOTHING_S], k),
        }
    }

    /// Pinst after the next value of light over its mean; what is constant in it does not count.
    pub(super) fn next(&mut self, relative: f64) -> f64 {
        let seen = self
            .linear
            .iter_mut()
            .fold(relative, |value, section| section.next(value));
        SCALE * self.smoothing.next(seen * seen)
    }
}

/// Mean Pinst of light whose swing at a frequency has a mean square of 1, by the analogue filters.
pub(super) fn mean_square(frequency_hz: f64) -> f64 {
    let high_pass = (frequency_hz / frequency_hz.hypot(HIGH_PASS_HZ)).powi(2);
    let low_pass = 1.0 / (1.0 + (frequency_hz / LOW_PASS_HZ).powi(12));
    let w = 2.0 * PI * frequency_hz;
    let zeros: f64 = ZEROS.iter().map(|zero| w * w + zero * zero).product();
    let poles: f64 = POLES.iter().map(|pole| w * w + pole * pole).product();
    let pair = (SQUARE - w * w).powi(2) + (DAMPING * w).powi(2);
    SCALE * high_pass * low_pass * (GAIN * w).powi(2) * zeros / (poles * pair)
}

fn high_pass(k: f64) -> Section {
    Section::first_order([0.0, 1.0], [2.0 * PI * HIGH_PASS_HZ, 1.0], k)
}

/// A pair of its poles, `odd` twelfths of a half-turn from the imaginary axis. Its corner stays exact, for light near it
/// counts most.
fn low_pass(odd: f64, rate_hz: f64) -> Section {
    let damping = 2.0 * (odd * PI / 12.0).sin();
    let k = 1.0 / (PI * LOW_PASS_HZ / rate_hz).tan();
    Section::second_order([1.0, 0.0, 0.0], [1.0, damping, 1.0], k)
}

fn weighting(k: f64) -> [Section; 2] {
    let [z0, z1, z2] = ZEROS;
    let [p0, p1] = POLES;
    [
        Section::second_order([0.0, z0, 1.0], [p0 * p1, p0 + p1, 1.0], k),
        Section::second_order(
            [z1 * z2, z1 + z2, 1.0].map(|coefficient| GAIN * coefficient),
            [SQUARE, DAMPING, 1.0],
            k,
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::{DAMPING, GAIN, POLES, SQUARE, ZEROS};

    fn product(one: &[f64], other: &[f64]) -> Vec<f64> {
        let mut product = vec![0.0; one.len() + other.len() - 1];
        for (i, a) in one.iter().enumerate() {
            for (j, b) in other.iter().enumerate() {
                product[i + j] += a * b;
            }
        }
        product
    }

    #[track_caller]
    fn assert_same(found: &[f64], published: &[f64]) {
        for (found, published) in found.iter().zip(published) {
            assert!(
                (found / published - 1.0).abs() < 1e-12,
                "{found} {published}"
            );
        }
        assert_eq!(found.len(), published.len());
    }

    #[test]
    fn factors_multiply_to_the_published_polynomials() {
        let numerator = ZEROS
            .iter()
            .fold(vec![GAIN], |all, &zero| product(&all, &[zero, 1.0]));
        assert_same(&numerator, &[29839.0, 2715.6, 44.758, 0.041_661]);
        let denominator = POLES.iter().fold(vec![SQUARE, DAMPING, 1.0], |all, &pole| {
            product(&all, &[pole, 1.0])
        });
        assert_same(
            &denominator,
            &[3_505_380.0, 534_820.0, 11781.0, 196.32, 1.0],
        );
    }
}
