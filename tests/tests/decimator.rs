//! Samples of moving light: pass band, stop band, and the stream that box samples get wrong.

use milliglow::density::{Density, FirstOrder};
use milliglow_sim::optics::{Decimator, LineBand, SteadyChannel, steady_lines};
use rustfft::FftPlanner;
use rustfft::num_complex::Complex;
use std::f64::consts::PI;

const TICK_HZ: u32 = 3_000_000;

/// A pulse of `width` ticks every `period` ticks, `ticks` ticks long.
fn pulses(period: usize, width: usize, ticks: usize) -> Vec<u32> {
    let bit = |tick: usize| u32::from(tick % period < width);
    (0..ticks / 32)
        .map(|word| (0..32).fold(0, |sum, k| sum << 1 | bit(32 * word + k)))
        .collect()
}

/// Samples of one channel that weighs 1; words go in in pieces of odd length.
fn samples(words: &[u32], tick_hz: u32, sample_hz: u32) -> (f64, Vec<f64>) {
    let mut decimator = Decimator::new(&[[1.0]], tick_hz, sample_hz);
    let mut out = Vec::new();
    for piece in words.chunks(1_237) {
        decimator.push(&[piece], |[value]| out.push(value));
    }
    (decimator.first_sample_s(), out)
}

/// The line of samples that hold whole periods of it.
fn line(samples: &[f64], rate_hz: f64, first_s: f64, frequency_hz: f64) -> Complex<f64> {
    let turn = |k: usize| -2.0 * PI * frequency_hz * (first_s + k as f64 / rate_hz);
    let sum: Complex<f64> = samples
        .iter()
        .enumerate()
        .map(|(k, value)| Complex::from_polar(*value, turn(k)))
        .sum();
    2.0 * sum / samples.len() as f64
}

#[test]
fn lines_up_to_a_quarter_of_the_rate_pass_within_a_thousandth() {
    let (period, width) = (30_000, 700);
    let words = pulses(period, width, 40 * period);
    // At the last rate a span is shorter than a tick.
    for rate in [8_000u32, 10_000, 20_000, 320_000] {
        let (first_s, out) = samples(&words, TICK_HZ, rate);
        let out = &out[..(rate / 10) as usize];
        let mut worst = 0.0f64;
        for harmonic in 1..=rate / 400 {
            let along = PI * f64::from(harmonic) * width as f64 / period as f64;
            let expected =
                Complex::from_polar(2.0 * along.sin() / (PI * f64::from(harmonic)), -along);
            let found = line(out, f64::from(rate), first_s, 100.0 * f64::from(harmonic));
            // The pulse has hardly any light near whole multiples of 4 286 Hz.
            if expected.norm() > 1e-4 {
                worst = worst.max((found / expected - 1.0).norm());
            }
        }
        println!("{rate} Hz: pass band within {worst:e}");
        assert!(worst < 1e-3, "{rate} Hz: {worst:e}");
        let mean = out.iter().sum::<f64>() / out.len() as f64;
        assert!(
            (mean * period as f64 / width as f64 - 1.0).abs() < 1e-5,
            "{mean}"
        );
    }
}

/// Spectrum of `values` over their mean: Hann window, eight times zero-padded, amplitudes by bins of the step given.
fn spectrum(values: &[f64], rate_hz: f64) -> (f64, Vec<f64>) {
    let length = values.len();
    let mean = values.iter().sum::<f64>() / length as f64;
    let hann = |k: usize| 1.0 - (2.0 * PI * (k as f64 + 0.5) / length as f64).cos();
    let windowed = (0..length).map(|k| Complex::from((values[k] / mean - 1.0) * hann(k)));
    let mut bins: Vec<_> = windowed.collect();
    bins.resize(8 * length, Complex::ZERO);
    FftPlanner::new()
        .plan_fft_forward(bins.len())
        .process(&mut bins);
    let half = bins.len() / 2;
    let scale = 2.0 / length as f64;
    (
        rate_hz / bins.len() as f64,
        bins[..half].iter().map(|bin| scale * bin.norm()).collect(),
    )
}

/// IEC TR 63158, over the peaks up to 2 kHz.
fn svm(step_hz: f64, spectrum: &[f64]) -> f64 {
    let threshold =
        |f: f64| 1.0 / (1.0 + (-0.00518 * (f - 306.6)).exp()) + 20.0 * (-f / 10.0).exp();
    let last = (2_000.0 / step_hz) as usize;
    let peaks =
        (1..last).filter(|&k| spectrum[k] > spectrum[k - 1] && spectrum[k] >= spectrum[k + 1]);
    let visible = peaks
        .filter(|&k| k as f64 * step_hz > 1.0)
        .map(|k| (spectrum[k] / threshold(k as f64 * step_hz)).powf(3.7));
    visible.sum::<f64>().powf(1.0 / 3.7)
}

#[test]
fn lines_from_half_the_rate_up_are_gone() {
    let mut worst = 0.0f64;
    // Every line of a one-tick pulse is twice the mean: from just above half the rate over the span rate (128 kHz, period
    // 23.4) and its multiples to the tick rate.
    for period in [
        749, 700, 571, 400, 375, 250, 187, 100, 47, 25, 24, 23, 22, 16, 13, 12, 11, 8, 7, 6, 5, 3,
        2,
    ] {
        let (_, out) = samples(&pulses(period, 1, 1 << 22), TICK_HZ, 8_000);
        let (_, spectrum) = spectrum(&out, 8_000.0);
        let strongest = spectrum.iter().copied().fold(0.0, f64::max);
        worst = worst.max(strongest / 2.0);
    }
    println!("stop band: {:.1} dB", 20.0 * worst.log10());
    assert!(20.0 * worst.log10() < -90.0, "{worst:e}");
}

fn density(pulse_hz: f64) -> Density {
    Density::from_bits((pulse_hz / f64::from(TICK_HZ) * 4_294_967_296.0).round() as u32)
}

fn first_order(pulse_hz: f64, words: usize) -> Vec<u32> {
    let mut out = vec![0; words];
    FirstOrder::new(0).fill(density(pulse_hz), &mut out);
    out
}

/// A pulse of one tick every 1 024 ticks: no line below 3 001.3 Hz.
const CLEAN_TICK_HZ: u32 = 3_073_331;

/// Boxes of the clean stream, exact, ends within ticks included.
fn boxes(rate_hz: f64, count: usize) -> Vec<f64> {
    let light_until = |tick: f64| (tick / 1024.0).floor() + (tick % 1024.0 - 1023.0).max(0.0);
    let tick = |k: usize| k as f64 * f64::from(CLEAN_TICK_HZ) / rate_hz;
    (0..count)
        .map(|k| light_until(tick(k + 1)) - light_until(tick(k)))
        .collect()
}

#[test]
fn a_clean_stream_that_boxes_fold_down_stays_clean() {
    let (step_hz, folded) = spectrum(&boxes(20_000.0, 40_000), 20_000.0);
    let of_boxes = svm(step_hz, &folded);
    assert!((of_boxes - 0.22).abs() < 0.01, "{of_boxes}");
    let mut words = vec![0; 2 * CLEAN_TICK_HZ as usize / 32];
    FirstOrder::new(0).fill(Density::from_bits(1 << 22), &mut words);
    for rate in [8_000u32, 20_000] {
        let (_, out) = samples(&words, CLEAN_TICK_HZ, rate);
        let (step_hz, clean) = spectrum(&out, f64::from(rate));
        let svm = svm(step_hz, &clean);
        // The window spreads the mean, which a record of broken periods does not give quite, over the first hertz.
        let (low, high) = ((1.0 / step_hz) as usize, (2_000.0 / step_hz) as usize);
        let strongest = clean[low..high].iter().copied().fold(0.0, f64::max);
        println!("{rate} Hz: SVM {svm:.1e}, strongest line below 2 kHz {strongest:.1e}");
        assert!(svm < 1e-3, "{svm:e}");
        assert!(strongest < 1e-5, "{strongest:e}");
    }
}

/// A stream whose pulses come every 999 or 1 000 ticks has weak lines of its own below 2 kHz.
#[test]
fn samples_show_the_lines_that_the_closed_form_gives() {
    let light = first_order(3_001.3, 2 * TICK_HZ as usize / 32);
    let channel = SteadyChannel::new(density(3_001.3), 0, 1.0);
    let lines = steady_lines(
        &[channel],
        f64::from(TICK_HZ),
        LineBand {
            below_hz: 2_000.0,
            floor: 1e-4,
        },
    );
    assert!(lines.len() >= 5);
    let (_, out) = samples(&light, TICK_HZ, 8_000);
    let (step_hz, spectrum) = spectrum(&out, 8_000.0);
    for line in lines {
        let bin = (line.frequency_hz / step_hz).round() as usize;
        let ratio = spectrum[bin] / line.line().amplitude;
        // Half a bin beside the line, the window takes 0.3 %; neighbours below the floor add some.
        assert!((0.97..1.03).contains(&ratio), "{line:?}: {ratio}");
    }
}

#[test]
fn channels_weigh_in_every_sum() {
    let mut decimator = Decimator::new(&[[1.0, 10.0], [5.0, 0.5]], TICK_HZ, 8_000);
    let words = 1 << 14;
    let (tenth, full) = (first_order(300_000.0, words), vec![u32::MAX; words]);
    let mut last = [0.0; 2];
    decimator.push(&[&tenth, &full], |sample| last = sample);
    assert!((last[0] - 5.1).abs() < 1e-4, "{last:?}");
    assert!((last[1] - 1.5).abs() < 1e-3, "{last:?}");
}

#[test]
fn pieces_of_a_long_record_fit_together() {
    let words = TICK_HZ as usize / 32;
    let streams: Vec<_> = [0.9e6, 1.1e6, 0.3e6, 0.77e6, 1.4e6]
        .map(|hz| first_order(hz, words))
        .into();
    let pieces: Vec<&[u32]> = streams.iter().map(Vec::as_slice).collect();
    let weights = [[0.4, 0.3, 0.1]; 5];
    let mut decimator = Decimator::new(&weights, TICK_HZ, 8_000);
    let (mut count, mut sum) = (0, 0.0);
    for _ in 0..18 {
        decimator.push(&pieces, |[_, y, _]| {
            count += 1;
            sum += y;
        });
    }
    assert!((143_900..144_000).contains(&count), "{count}");
    assert!((sum / f64::from(count) - 0.3 * 4.47 / 3.0).abs() < 1e-4);
}
