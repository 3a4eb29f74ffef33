//! The lines of first-order streams against their exact amplitudes.

use milliglow::density::{Density, FirstOrder};
use milliglow_tests::data::{Row, rows};
use milliglow_tests::stream::ticks;
use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

/// Peak amplitudes of the lines 0 to q/2 of one period of q ticks, relative to the mean.
fn lines(row: &Row) -> Vec<f64> {
    let (modulus, d): (u64, u64) = (row.parsed("M"), row.parsed("d"));
    let period: usize = row.parsed("q_period_ticks");
    let mut words = vec![0; period.div_ceil(32)];
    FirstOrder::new(0).fill(Density::from_bits(((d << 32) / modulus) as u32), &mut words);
    let mut spectrum: Vec<Complex<f64>> = ticks(&words)
        .take(period)
        .map(|one| Complex::from(f64::from(u8::from(one))))
        .collect();
    FftPlanner::new()
        .plan_fft_forward(period)
        .process(&mut spectrum);
    let mean = spectrum[0].re;
    let factor = |k| if 2 * k == period { 1.0 } else { 2.0 };
    (0..=period / 2)
        .map(|k| factor(k) * spectrum[k].norm() / mean)
        .collect()
}

/// The table gives this many of the digits.
fn agrees(got: f64, expected: f64, relative: f64) -> bool {
    (got / expected - 1.0).abs() <= relative
}

/// The rows whose density 32 bits hold exactly.
fn exact_rows() -> impl Iterator<Item = Row> {
    let exact = |row: &Row| row.parsed::<u64>("M").is_power_of_two();
    rows("density_idle_tones_first_order.csv")
        .into_iter()
        .filter(exact)
}

#[test]
fn exact_amplitudes() {
    for row in exact_rows() {
        let (d, lines) = (row.text("d"), lines(&row));
        let main = lines[row.parsed::<usize>("main_line_index")];
        assert!(
            agrees(main, row.parsed("main_line_rel_peak_amplitude"), 5e-7),
            "{d}: {main}"
        );
        let strongest = lines[1..].iter().copied().fold(0.0, f64::max);
        assert!(
            agrees(strongest, row.parsed("strongest_line_rel_amplitude"), 5e-8),
            "{d}: {strongest}"
        );
        assert!(
            agrees(
                lines[row.parsed::<usize>("strongest_line_index")],
                strongest,
                1e-9
            ),
            "{d}"
        );
    }
}

#[test]
fn strongest_line_below_200_hz_at_1_mhz() {
    let rows = rows("density_idle_tones_first_order.csv");
    for row in rows
        .iter()
        .filter(|row| !row.text("strongest_line_below_200Hz_hz").is_empty())
    {
        let lines = lines(row);
        let line_hz = 1e6 / row.parsed::<f64>("q_period_ticks");
        let in_band = 1..=(200.0 / line_hz) as usize;
        let strongest = in_band
            .max_by(|&a, &b| lines[a].total_cmp(&lines[b]))
            .expect("a line");
        let hz = strongest as f64 * line_hz;
        assert!(
            agrees(hz, row.parsed("strongest_line_below_200Hz_hz"), 1e-5),
            "{}: {hz} Hz",
            row.text("d")
        );
        let expected = row.parsed("its_rel_peak_amplitude");
        assert!(
            agrees(lines[strongest], expected, 1e-4),
            "{}: {}",
            row.text("d"),
            lines[strongest]
        );
    }
}
