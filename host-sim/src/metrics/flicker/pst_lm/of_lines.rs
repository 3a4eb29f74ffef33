//! What lines would score: quick, for finding the light that the meter should look at.

use super::response::mean_square;
use super::statistics::EVEN;
use crate::metrics::flicker::Line;

/// PstLM of lines, taking Pinst as even at its mean: their powers through the filters added up.
///
/// *Error*: within 3 % of what the meter reads of a sine of 5 to 80 Hz; slower light, and light that comes and goes, has a
/// Pinst that swings, and reads up to a few times as much. Lines below 1 Hz weigh little.
#[must_use]
pub fn pst_lm_of_lines(lines: &[Line]) -> f64 {
    let powers = lines
        .iter()
        .map(|line| line.amplitude.powi(2) / 2.0 * mean_square(line.frequency_hz));
    (EVEN * powers.sum::<f64>()).sqrt()
}

#[cfg(test)]
mod tests {
    use super::pst_lm_of_lines;
    use crate::metrics::flicker::Line;
    use crate::metrics::flicker::pst_lm::PstLm;
    use std::f64::consts::TAU;

    fn lines(frequencies_hz: &[f64]) -> Vec<Line> {
        let line = |&frequency_hz: &f64| Line {
            frequency_hz,
            amplitude: 0.01,
        };
        frequencies_hz.iter().map(line).collect()
    }

    #[test]
    fn agrees_with_the_meter_on_steady_sines() {
        for frequencies in [&[5.0][..], &[8.8], &[20.0], &[40.0], &[77.0]] {
            let mut meter = PstLm::new(4_000.0).unwrap();
            for k in 0..4_000 * 60 {
                let angle = TAU * f64::from(k) / 4_000.0;
                let swings = frequencies.iter().map(|f| 0.01 * (angle * f).sin());
                meter.feed(&[1.0 + swings.sum::<f64>()]);
            }
            let read = meter.severity().unwrap().pst_lm;
            let quick = pst_lm_of_lines(&lines(frequencies));
            assert!(
                (quick / read - 1.0).abs() < 0.03,
                "{frequencies:?}: {quick} {read}"
            );
        }
    }

    #[test]
    fn powers_add_up() {
        let both = pst_lm_of_lines(&lines(&[8.8, 20.0]));
        let alone = [8.8, 20.0].map(|f| pst_lm_of_lines(&lines(&[f])));
        assert!((both - alone[0].hypot(alone[1])).abs() < 1e-12);
        assert_eq!(pst_lm_of_lines(&[]), 0.0);
    }
}
