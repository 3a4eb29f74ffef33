//! Fourier lines of a record of light: for periodic streams without a closed form.

use std::f64::consts::PI;

use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

use super::{LineBand, PhasedLine};

/// Lines of flux tick by tick, taken as one period that repeats; none in the dark.
///
/// *Resolution*: the tick rate over the length of the record. The lines are exact when the record is a whole number of
/// periods (one period of a timer, 2^32 / gcd ticks of a first-order stream); of anything else they are those of the
/// record repeated, which leak: make it long, and judge energy within 1 Hz. *Memory*: 32 bytes a tick.
#[must_use]
pub fn record_lines(flux: &[f64], tick_hz: f64, band: LineBand) -> Vec<PhasedLine> {
    let length = flux.len();
    let mean = flux.iter().sum::<f64>() / length as f64;
    if length == 0 || mean <= 0.0 {
        return Vec::new();
    }
    let mut bins: Vec<_> = flux.iter().map(|&flux| Complex::from(flux)).collect();
    FftPlanner::new()
        .plan_fft_forward(length)
        .process(&mut bins);
    let resolution = tick_hz / length as f64;
    let in_band = |&(bin, _): &(usize, _)| bin as f64 * resolution <= band.below_hz;
    let lines = (1..length.div_ceil(2))
        .map(|bin| (bin, bins[bin]))
        .take_while(in_band)
        .map(|(bin, value)| {
            // Light is a step over each tick.
            let along = PI * bin as f64 / length as f64;
            let tick = Complex::from_polar(along.sin() / along, -along);
            let line = 2.0 / (mean * length as f64) * value * tick;
            PhasedLine {
                frequency_hz: bin as f64 * resolution,
                cosine: line.re,
                sine: -line.im,
            }
        });
    lines
        .filter(|line| line.line().amplitude >= band.floor)
        .collect()
}
