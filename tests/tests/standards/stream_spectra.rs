//! Spectra of first-order, dithered and second-order streams against the tables, which Python made of the recursions.
//!
//! Rows of modulations that the core does not offer (triangular dither, dithered second order) are left out.

use std::f64::consts::PI;

use milliglow::density::{Density, DitherWidth, Modulation};
use milliglow_tests::Agreement;
use milliglow_tests::data::{Row, rows};
use milliglow_tests::stream::{Ledger, PULSE, ticks};
use rustfft::{FftPlanner, num_complex::Complex};

/// As the tables say: 2^22 ticks of 1 us, Hann window, the register's seed.
const TICKS: usize = 1 << 22;
const TICK_HZ: f64 = 1e6;
const BIN_HZ: f64 = TICK_HZ / TICKS as f64;
const SEED: u32 = 0x1234_5678;

struct Stream {
    /// Amplitude of each bin over the mean.
    amplitudes: Vec<f64>,
    runs_per_tick: f64,
    /// Largest distance of the ones from the densities' sum, in pulses.
    largest_owed: f64,
}

impl Stream {
    fn of(modulation: Modulation, ones: u32) -> Self {
        let density = Density::from_bits(ones << 16);
        let bits = Ledger::new(modulation, 1 << 31, SEED).draw(density, TICKS / 32);
        let owed = Ledger::new(modulation, 1 << 31, SEED).owed(density, TICKS / 32);
        let largest = owed
            .iter()
            .map(|owed| owed.abs())
            .max()
            .expect("many ticks");
        let (runs, _) = ticks(&bits).fold((0, false), |(runs, last), on| {
            (runs + u32::from(on && !last), on)
        });
        Self {
            amplitudes: amplitudes(&bits),
            runs_per_tick: f64::from(runs) / TICKS as f64,
            largest_owed: largest as f64 / PULSE as f64,
        }
    }

    /// The strongest line from `from_hz` to `to_hz`: frequency and amplitude.
    fn strongest(&self, from_hz: f64, to_hz: f64) -> (f64, f64) {
        let bins = (from_hz / BIN_HZ).ceil() as usize..=(to_hz / BIN_HZ) as usize;
        let (bin, amplitude) = bins
            .map(|bin| (bin, self.amplitudes[bin]))
            .max_by(|one, other| one.1.total_cmp(&other.1))
            .expect("bins");
        (bin as f64 * BIN_HZ, amplitude)
    }

    /// Root mean square of a band over the mean; the Hann window's noise bandwidth is 1.5 bins.
    fn rms(&self, from_hz: f64, to_hz: f64) -> f64 {
        let bins = (from_hz / BIN_HZ).ceil() as usize..=(to_hz / BIN_HZ) as usize;
        let power: f64 = bins
            .map(|bin| self.amplitudes[bin].powi(2) / 2.0 / 1.5)
            .sum();
        power.sqrt()
    }
}

fn amplitudes(bits: &[u32]) -> Vec<f64> {
    let window = |tick: usize| 0.5 - 0.5 * (2.0 * PI * tick as f64 / TICKS as f64).cos();
    let mut bins: Vec<Complex<f64>> = ticks(bits)
        .enumerate()
        .map(|(tick, on)| Complex::from(if on { window(tick) } else { 0.0 }))
        .collect();
    let sum: f64 = bins.iter().map(|bin| bin.re).sum();
    FftPlanner::new().plan_fft_forward(TICKS).process(&mut bins);
    bins[..=TICKS / 2]
        .iter()
        .map(|bin| 2.0 * bin.norm() / sum)
        .collect()
}

/// The modulations of the tables that the core has: order, dither in the one and in the other table.
fn offered() -> [(&'static str, &'static str, &'static str, Modulation); 3] {
    [
        ("1", "none", "order 1, dither none", Modulation::FirstOrder),
        (
            "1",
            "RPDF",
            "order 1, dither RPDF 1 step",
            Modulation::Dithered(DitherWidth::ONE_STEP),
        ),
        ("2", "none", "order 2, dither none", Modulation::SecondOrder),
    ]
}

#[test]
fn lines_and_noise_are_as_tabulated() {
    let lines = rows("density_stream_spectra.csv");
    let noise = rows("density_noise_and_dither.csv");
    let (mut seen_lines, mut seen_noise) = (0, 0);
    for (order, dither, case, modulation) in offered() {
        for ones in [66, 655, 3277, 6554, 20861, 32768] {
            let stream = Stream::of(modulation, ones);
            let dc = format!("{ones}/65536");
            let of_stream = |row: &&Row| {
                (row.text("order"), row.text("dither"), row.text("dc")) == (order, dither, &dc)
            };
            for row in lines.iter().filter(of_stream) {
                see_lines(&stream, row, ones);
                seen_lines += 1;
            }
            let start = format!("{case}, d={dc},");
            for row in noise
                .iter()
                .filter(|row| row.text("case").starts_with(&start))
            {
                see_noise(&stream, row);
                seen_noise += 1;
            }
        }
    }
    assert_eq!((seen_lines, seen_noise), (18, 15));
}

fn see_lines(stream: &Stream, row: &Row, ones: u32) {
    let mut seen = Agreement::with("density_stream_spectra.csv");
    let what = format!(
        "order {}, dither {}, {}",
        row.text("order"),
        row.text("dither"),
        row.text("dc")
    );
    let random = row.text("dither") != "none";
    // The tables' dither has 16 bits, the core's 32.
    let spread = if random { 5e-4 } else { 1e-4 };
    let amplitude = row.number("strongest_line_rel_amplitude");
    let (hz, found) = stream.strongest(1.0, TICK_HZ / 2.0);
    if amplitude > 0.05 {
        seen.see(
            &format!("{what}: line"),
            found,
            amplitude,
            spread * amplitude,
        );
        let expected = row.number("strongest_line_hz");
        // Harmonics of the pulse rate are nearly as strong as the rate.
        let pulse_hz = f64::from(ones) / 65_536.0 * TICK_HZ;
        let apart = (hz - expected).abs() / pulse_hz;
        assert!(
            hz == expected || (apart - apart.round()).abs() * pulse_hz < 1.0,
            "{what}: {hz}"
        );
    } else {
        assert!((0.7..1.4).contains(&(found / amplitude)), "{what}: {found}");
    }
    let runs = row.number("runs_of_ones_per_tick");
    seen.see(
        &format!("{what}: runs"),
        stream.runs_per_tick,
        runs,
        if random { 1e-4 * runs } else { 1e-7 },
    );
    if row.text("order") == "1" {
        let owed = row.number("max_abs_error_over_M");
        seen.see(&format!("{what}: owed"), stream.largest_owed, owed, 0.001);
    }
}

fn see_noise(stream: &Stream, row: &Row) {
    let mut seen = Agreement::with("density_noise_and_dither.csv");
    let mut figures = row.text("value").split("; ");
    let mut next = || {
        figures
            .next()
            .expect("three figures")
            .split(" @ ")
            .next()
            .expect("a number")
            .parse::<f64>()
            .expect("a number")
    };
    let (rms, line) = (next(), next());
    let (found_rms, found_line) = (stream.rms(0.7, 200.0), stream.strongest(0.7, 200.0).1);
    if rms < 1e-12 {
        // No line at all: rounding.
        assert!(found_rms < 1e-12 && found_line < 1e-12, "{row:?}");
        return;
    }
    seen.see(
        &format!("{}: rms", row.text("case")),
        found_rms,
        rms,
        0.002 * rms,
    );
    seen.see(
        &format!("{}: line", row.text("case")),
        found_line,
        line,
        0.002 * line,
    );
}

/// Of the same table: the band power of dithered first order rises by 9 dB an octave.
#[test]
fn dithered_noise_rises_by_nine_decibels_an_octave() {
    let stream = Stream::of(Modulation::Dithered(DitherWidth::ONE_STEP), 20_861);
    let band = |octave: i32| {
        let from = TICK_HZ / 2.0_f64.powi(octave);
        20.0 * stream.rms(from, 2.0 * from - BIN_HZ).log10()
    };
    let slope = (band(6) - band(14)) / 8.0;
    let rows = rows("density_noise_and_dither.csv");
    let row = rows
        .iter()
        .find(|row| row.text("case").starts_with("order 1 with RPDF"))
        .expect("the row");
    Agreement::with("density_noise_and_dither.csv").see("slope", slope, row.number("value"), 0.1);
}
