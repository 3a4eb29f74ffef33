//! The lines of light, 1 Hz wide.
//!
//! A line gathers the energy within half a hertz on either side of it, strongest lines first, and everything that is
//! compared with a limit is compared as such lines. Without that the lines of noise-like light depend on how long one
//! looked, for their energy spreads over ever more of them.

use super::{Line, Samples, fourier, waveform::lit};
use realfft::num_complex::Complex64;
use std::f64::consts::PI;

/// Band and resolution.
pub const BAND: &str =
    "1 Hz to half the sample rate; lines 1 Hz wide (2 Hz apart in a record of 1 s)";

/// Shortest record in s whose lines are told.
pub const MIN_SECONDS: f64 = 1.0;

/// Half the width of a line in Hz.
const HALF_WIDTH_HZ: f64 = 0.5;

/// Nearest that two lines of a record may be, in Hz.
const APART_HZ: f64 = 1.0;

/// Bins of the padded transform for each of the record.
const PADDING: usize = 8;

/// What is weaker is no line, and the reach of leakage ends well below.
const FLOOR: f64 = 1e-7;

/// The strongest line.
#[must_use]
pub fn dominant(lines: &[Line]) -> Option<Line> {
    lines
        .iter()
        .copied()
        .max_by(|one, other| one.amplitude.total_cmp(&other.amplitude))
}

/// Exact lines, however dense, as lines 1 Hz wide: the strongest takes the energy of all within half a hertz of it,
/// then the strongest of those left. In order of frequency.
#[must_use]
pub fn sum_within_1_hz(lines: &[Line]) -> Vec<Line> {
    let mut by_frequency = lines.to_vec();
    by_frequency.sort_by(|one, other| one.frequency_hz.total_cmp(&other.frequency_hz));
    let mut strongest_first: Vec<usize> = (0..by_frequency.len()).collect();
    strongest_first.sort_by(|&one, &other| {
        let amplitude = |index: usize| by_frequency[index].amplitude;
        amplitude(other).total_cmp(&amplitude(one))
    });
    let mut taken = vec![false; by_frequency.len()];
    let mut summed: Vec<Line> = strongest_first
        .into_iter()
        .filter_map(|index| gather(&by_frequency, index, &mut taken))
        .collect();
    summed.sort_by(|one, other| one.frequency_hz.total_cmp(&other.frequency_hz));
    summed
}

/// The line at `index` with all that is left around it, unless it was taken before.
fn gather(lines: &[Line], index: usize, taken: &mut [bool]) -> Option<Line> {
    if taken[index] {
        return None;
    }
    let frequency_hz = lines[index].frequency_hz;
    let position = |edge| lines.partition_point(|line| line.frequency_hz < frequency_hz + edge);
    let mut energy = 0.0;
    for near in position(-HALF_WIDTH_HZ)..position(HALF_WIDTH_HZ) {
        if !std::mem::replace(&mut taken[near], true) {
            energy += lines[near].amplitude.powi(2);
        }
    }
    Some(Line {
        frequency_hz,
        amplitude: energy.sqrt(),
    })
}

/// The lines of a record from 1 Hz up, at least 1 Hz apart, in order of frequency; `None` for a record that is dark
/// or shorter than [`MIN_SECONDS`].
///
/// Hann window with its coherent gain corrected, mean taken under the window, zero padding to eight times the length
/// or more, peaks interpolated as parabolas of the logarithm. A steady sine reads within 2e-4 of its amplitude
/// from seven periods on, within 1e-6 from 90 on, wherever it falls between bins. Peaks that stronger lines explain by leakage through the window are dropped, and so are
/// amplitudes below 1e-7. Memory and time grow with the record: cut long ones into segments of a few seconds.
#[must_use]
pub fn lines(samples: Samples) -> Option<Vec<Line>> {
    let transform = Transform::of(samples)?;
    let mut leakage = vec![0.0; transform.power.len()];
    let mut free = vec![true; transform.power.len()];
    let mut lines = Vec::new();
    for bin in transform.peaks() {
        if free[bin] && transform.amplitude(bin) > FLOOR + 1.2 * leakage[bin] {
            transform.exclude(bin, &mut free);
            transform.leak(bin, &mut leakage);
            lines.push(transform.line(bin));
        }
    }
    lines.sort_by(|one, other| one.frequency_hz.total_cmp(&other.frequency_hz));
    Some(lines)
}

/// The padded transform of a record under the window.
struct Transform {
    /// Squared magnitude of each bin.
    power: Vec<f64>,
    /// Sum of `power` before each bin.
    power_before: Vec<f64>,
    bin_hz: f64,
    /// Bins of the unpadded record to one of these.
    record_bin: f64,
    /// From a bin's magnitude to the amplitude of a sine.
    coherent: f64,
    /// From summed power to a squared amplitude.
    incoherent: f64,
}

impl Transform {
    fn of(samples: Samples) -> Option<Self> {
        let length = samples.values.len();
        if samples.seconds() < MIN_SECONDS {
            return None;
        }
        let (windowed, sum, sum_of_squares) = hann(samples.values)?;
        let padded = windowed.len();
        let power: Vec<f64> = fourier::forward(windowed)
            .iter()
            .map(Complex64::norm_sqr)
            .collect();
        Some(Self {
            power_before: running_sum(&power),
            power,
            bin_hz: samples.rate_hz / padded as f64,
            record_bin: length as f64 / padded as f64,
            coherent: 2.0 / sum,
            incoherent: 4.0 / (padded as f64 * sum_of_squares),
        })
    }

    fn amplitude(&self, bin: usize) -> f64 {
        self.power[bin].sqrt() * self.coherent
    }

    /// Bins around one that are nearer than `distance_hz`.
    fn around(&self, bin: usize, distance_hz: f64) -> std::ops::Range<usize> {
        let reach = (distance_hz / self.bin_hz).ceil() as usize;
        bin.saturating_sub(reach - 1)..(bin + reach).min(self.power.len())
    }

    /// Local maxima from 1 Hz up, strongest first.
    fn peaks(&self) -> Vec<usize> {
        let lowest = (APART_HZ / self.bin_hz).ceil() as usize;
        let is_peak = |&bin: &usize| {
            let power = self.power[bin];
            power > self.power[bin - 1] && power >= self.power[bin + 1]
        };
        let mut peaks: Vec<usize> = (lowest..self.power.len() - 1).filter(is_peak).collect();
        peaks.sort_by(|&one, &other| self.power[other].total_cmp(&self.power[one]));
        peaks
    }

    fn exclude(&self, bin: usize, free: &mut [bool]) {
        free[self.around(bin, APART_HZ)].fill(false);
    }

    /// Adds the envelope of the side lobes of a line and of its images beyond 0 and half the rate:
    /// 1 / (pi x (x^2 - 1)) at x bins of the record, from 2 on.
    fn leak(&self, bin: usize, leakage: &mut [f64]) {
        let amplitude = self.amplitude(bin);
        let reach = ((4.0 * amplitude / (PI * FLOOR)).cbrt() / self.record_bin) as isize;
        let (bin, last) = (bin as isize, leakage.len() as isize - 1);
        for centre in [bin, -bin, 2 * last - bin] {
            for other in (centre - reach).max(0)..=(centre + reach).min(last) {
                let x = centre.abs_diff(other) as f64 * self.record_bin;
                if x >= 2.0 {
                    leakage[other as usize] += amplitude / (PI * x * (x * x - 1.0));
                }
            }
        }
    }

    /// The sine at a peak, or all that is within its width where that is more: noise, and lines that were not told apart.
    fn line(&self, bin: usize) -> Line {
        let [before, here, after] =
            [bin - 1, bin, bin + 1].map(|bin| self.power[bin].max(f64::MIN_POSITIVE).ln());
        let offset = 0.5 * (before - after) / (before - 2.0 * here + after);
        let peak = (here - 0.25 * (before - after) * offset).exp() * self.coherent.powi(2);
        let width = self.around(bin, HALF_WIDTH_HZ);
        let within = self.power_before[width.end] - self.power_before[width.start];
        Line {
            frequency_hz: (bin as f64 + offset) * self.bin_hz,
            amplitude: peak.max(within * self.incoherent).sqrt(),
        }
    }
}

/// The record over its mean, less 1, under the window and padded; the window's sum and sum of squares.
fn hann(values: &[f64]) -> Option<(Vec<f64>, f64, f64)> {
    let length = values.len();
    let window = |index: usize| (PI * (index as f64 + 0.5) / length as f64).sin().powi(2);
    let weights: Vec<f64> = (0..length).map(window).collect();
    let sum: f64 = weights.iter().sum();
    let weighted: f64 = weights.iter().zip(values).map(|(w, value)| w * value).sum();
    let mean = lit(weighted / sum)?;
    let mut windowed: Vec<f64> = weights
        .iter()
        .zip(values)
        .map(|(w, value)| w * (value / mean - 1.0))
        .collect();
    windowed.resize((PADDING * length).next_power_of_two(), 0.0);
    Some((windowed, sum, weights.iter().map(|w| w * w).sum()))
}

fn running_sum(values: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    std::iter::once(0.0)
        .chain(values.iter().map(|value| {
            sum += value;
            sum
        }))
        .collect()
}
