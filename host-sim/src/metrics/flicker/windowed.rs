//! The transform of a record under the Hann window, and what its peaks mean.

use super::{
    Line, Samples,
    fourier::Forward,
    spectrum::{APART_HZ, FLOOR, HALF_WIDTH_HZ, MIN_SECONDS},
    waveform::lit,
};
use realfft::num_complex::Complex64;
use std::f64::consts::PI;

/// Bins of the padded transform for each of the record.
const PADDING: usize = 8;

/// The padded transform of a record under the window, and the room for the next one.
#[derive(Clone, Default)]
pub(super) struct Windowed {
    /// The window and its transform.
    window: Vec<f64>,
    transform: Forward,
    /// Squared magnitude of each bin.
    pub(super) power: Vec<f64>,
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

impl Windowed {
    /// Transforms a record; `None` if it is dark or shorter than the shortest.
    pub(super) fn take(&mut self, samples: Samples) -> Option<()> {
        let length = samples.values.len();
        if samples.seconds() < MIN_SECONDS {
            return None;
        }
        self.open_window(length);
        let sum: f64 = self.window.iter().sum();
        let sum_of_squares: f64 = self.window.iter().map(|w| w * w).sum();
        self.look(samples.values, sum)?;
        let padded = self.transform.values.len();
        self.transform.transform();
        self.add_up();
        self.bin_hz = samples.rate_hz / padded as f64;
        self.record_bin = length as f64 / padded as f64;
        self.coherent = 2.0 / sum;
        self.incoherent = 4.0 / (padded as f64 * sum_of_squares);
        Some(())
    }

    fn open_window(&mut self, length: usize) {
        if self.window.len() != length {
            let at = |index: usize| (PI * (index as f64 + 0.5) / length as f64).sin().powi(2);
            self.window = (0..length).map(at).collect();
        }
    }

    /// The record over its mean, less 1, under the window and padded.
    fn look(&mut self, values: &[f64], sum: f64) -> Option<()> {
        let seen = || self.window.iter().zip(values);
        let mean = lit(seen().map(|(w, value)| w * value).sum::<f64>() / sum)?;
        let record = &mut self.transform.values;
        record.clear();
        record.reserve_exact((PADDING * values.len()).next_power_of_two());
        record.extend(seen().map(|(w, value)| w * (value / mean - 1.0)));
        record.resize((PADDING * values.len()).next_power_of_two(), 0.0);
        Some(())
    }

    fn add_up(&mut self) {
        let bins = &self.transform.bins;
        self.power.clear();
        self.power.reserve_exact(bins.len());
        self.power.extend(bins.iter().map(Complex64::norm_sqr));
        self.power_before.clear();
        self.power_before.reserve_exact(bins.len() + 1);
        self.power_before.push(0.0);
        let mut sum = 0.0;
        self.power_before.extend(self.power.iter().map(|power| {
            sum += power;
            sum
        }));
    }

    /// Numbers that there is room for.
    #[cfg(test)]
    pub(super) fn room(&self) -> usize {
        let own = [&self.window, &self.power, &self.power_before];
        self.transform.room() + own.iter().map(|numbers| numbers.capacity()).sum::<usize>()
    }

    pub(super) fn amplitude(&self, bin: usize) -> f64 {
        self.power[bin].sqrt() * self.coherent
    }

    /// Bins around one that are nearer than `distance_hz`.
    fn around(&self, bin: usize, distance_hz: f64) -> std::ops::Range<usize> {
        let reach = (distance_hz / self.bin_hz).ceil() as usize;
        bin.saturating_sub(reach - 1)..(bin + reach).min(self.power.len())
    }

    /// Local maxima from 1 Hz up that are strong enough for a line, strongest first.
    pub(super) fn peaks(&self, peaks: &mut Vec<usize>) {
        let lowest = (APART_HZ / self.bin_hz).ceil() as usize;
        let least = (FLOOR / self.coherent).powi(2);
        let is_peak = |&bin: &usize| {
            let power = self.power[bin];
            power > least && power > self.power[bin - 1] && power >= self.power[bin + 1]
        };
        peaks.clear();
        peaks.extend((lowest..self.power.len() - 1).filter(is_peak));
        peaks.sort_unstable_by(|&one, &other| self.power[other].total_cmp(&self.power[one]));
    }

    pub(super) fn exclude(&self, bin: usize, free: &mut [bool]) {
        free[self.around(bin, APART_HZ)].fill(false);
    }

    /// Adds the envelope of the side lobes of a line and of its images beyond 0 and half the rate:
    /// 1 / (pi x (x^2 - 1)) at x bins of the record, from 2 on.
    pub(super) fn leak(&self, bin: usize, leakage: &mut [f64]) {
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
    pub(super) fn line(&self, bin: usize) -> Line {
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
