//! The flicker of first-order streams whose figures are known (computed from the exact Fourier series and the SVM curve).

use milliglow::density::Density;
use milliglow_sim::metrics::flicker::{Line, spectrum::sum_within_1_hz, svm::svm};
use milliglow_sim::optics::{LineBand, PhasedLine, SteadyChannel, steady_lines};

fn lines(fraction: f64, tick_hz: f64) -> Vec<Line> {
    let density = Density::from_bits((fraction * 4_294_967_296.0).round() as u32);
    let channel = SteadyChannel::new(density, 0, 1.0);
    let band = LineBand {
        below_hz: 4_000.0,
        floor: 1e-5,
    };
    sum_within_1_hz(
        &steady_lines(&[channel], tick_hz, band)
            .into_iter()
            .map(PhasedLine::line)
            .collect::<Vec<_>>(),
    )
}

/// Pulses at 900 Hz and their first harmonic at 1800 Hz, both of amplitude 2, lie below the 2 kHz where SVM ends.
#[test]
fn nine_ten_thousandths_at_1_mhz() {
    let svm = svm(&lines(0.0009, 1e6));
    assert!((svm - 2.47).abs() <= 0.02, "{svm}");
}

/// Pulses at 3 kHz: nothing but weak lines below 2 kHz.
#[test]
fn a_thousandth_at_3_mhz() {
    let lines = lines(0.001, 3e6);
    let strongest = lines
        .iter()
        .max_by(|a, b| a.amplitude.total_cmp(&b.amplitude));
    let main = strongest.expect("the pulses");
    assert!((main.frequency_hz - 3_000.0).abs() < 0.01, "{main:?}");
    assert!((main.amplitude - 2.0).abs() < 1e-4, "{main:?}");
    assert!(svm(&lines) < 0.001, "{}", svm(&lines));
}
