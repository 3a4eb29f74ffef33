use milliglow_sim::metrics::flicker::{
    Line, Samples,
    spectrum::{dominant, lines, sum_within_1_hz},
};
use milliglow_tests::Series;

const RATE: f64 = 20_000.0;

fn lines_of(values: &[f64]) -> Vec<Line> {
    let samples = Samples {
        rate_hz: RATE,
        values,
    };
    lines(samples).unwrap()
}

fn line(frequency_hz: f64, amplitude: f64) -> Line {
    Line {
        frequency_hz,
        amplitude,
    }
}

#[test]
fn a_steady_sine_reads_its_amplitude_wherever_it_falls() {
    for count in [20_000, 23_457, 59_999] {
        for hz in [7.3, 99.87, 100.0, 1234.567, 9000.1] {
            let found = lines_of(&Series::tones(&[(hz, 0.3)]).sampled(RATE, count));
            assert_eq!(found.len(), 1, "{found:?}");
            assert!((found[0].frequency_hz - hz).abs() < 1e-3, "{found:?}");
            let within = if hz < 90.0 { 2e-4 } else { 1e-5 };
            assert!((found[0].amplitude / 0.3 - 1.0).abs() < within, "{found:?}");
        }
    }
}

#[test]
fn weak_lines_stand_beside_strong_ones_and_side_lobes_do_not() {
    let tones = [(50.0, 0.002), (100.0, 1.0), (112.0, 0.02), (3001.3, 2.0)];
    let found = lines_of(&Series::tones(&tones).sampled(RATE, 22_222));
    assert_eq!(found.len(), tones.len(), "{found:?}");
    for (found, (hz, amplitude)) in found.iter().zip(tones) {
        assert!((found.frequency_hz - hz).abs() < 0.02, "{found:?}");
        assert!(
            (found.amplitude / amplitude - 1.0).abs() < 0.02,
            "{found:?}"
        );
    }
    assert_eq!(
        dominant(&found).map(|line| line.amplitude > 1.99),
        Some(true)
    );
}

/// Even noise from -0.5 to 0.5 on light of mean 1: density 2 / 12 / (rate / 2) of squared amplitude a Hz.
fn noisy(count: usize) -> Vec<f64> {
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        0.5 + (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    (0..count).map(|_| next()).collect()
}

#[test]
fn lines_of_noise_hardly_depend_on_the_length_of_the_record() {
    let expected = (2.0 / 12.0 / (RATE / 2.0)).sqrt();
    for seconds in [2, 3, 10, 30] {
        let found = lines_of(&noisy(seconds * RATE as usize));
        let squares: f64 = found.iter().map(|line| line.amplitude.powi(2)).sum();
        let ratio = (squares / found.len() as f64).sqrt() / expected;
        println!("noise over {seconds} s: lines {ratio:.3} of one hertz of it");
        assert!((0.98..1.19).contains(&ratio), "{seconds} s: {ratio}");
    }
}

#[test]
fn exact_lines_join_the_strongest_within_half_a_hertz() {
    let dense = [
        line(100.4, 0.3),
        line(99.8, 0.1),
        line(100.0, 0.4),
        line(99.3, 0.1),
        line(100.7, 0.2),
        line(102.0, 0.1),
    ];
    let expected = [
        (99.3, 0.1),
        (100.0, 0.26_f64.sqrt()),
        (100.7, 0.2),
        (102.0, 0.1),
    ];
    let found = sum_within_1_hz(&dense);
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (found, (hz, amplitude)) in found.iter().zip(expected) {
        assert_eq!(found.frequency_hz, hz);
        assert!((found.amplitude - amplitude).abs() < 1e-12, "{found:?}");
    }
}

#[test]
fn short_and_dark_records_have_no_lines() {
    let short = Samples {
        rate_hz: RATE,
        values: &[1.0; 19_999],
    };
    let dark = Samples {
        rate_hz: RATE,
        values: &[0.0; 20_000],
    };
    assert_eq!((lines(short), lines(dark)), (None, None));
}
