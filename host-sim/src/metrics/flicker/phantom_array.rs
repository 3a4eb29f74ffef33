//! The phantom array: the row of dots that a fast eye movement draws from pulsed light.
//!
//! **Information only, never pass or fail**: no method is standardised and no limit was found. The curves are digitised
//! from figures, good to about 0.01, and hold for sines seen by average observers; sensitive people report the effect
//! at 6 kHz, beyond both curves, and rectangular pulses are seen better than sines. Sources stand in every row of
//! `host-sim/data/phantom_array_thresholds.csv`.

use super::{Line, Worst};
use std::sync::OnceLock;

/// Band and resolution.
pub const BAND: &str =
    "99 Hz to 5.1 kHz (Tan et al. 2024), 80 Hz to 2.7 kHz (CIE 249:2022); lines 1 Hz wide";

const TABLE: &str = include_str!("../../../data/phantom_array_thresholds.csv");

/// A published curve of threshold modulation against frequency.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it is and who published it.
    pub name: String,
    /// Frequency in Hz and threshold amplitude, in order of frequency.
    pub points: Vec<(f64, f64)>,
}

impl Curve {
    /// The amplitude that is just seen, a straight line between points of the logarithms; `None` outside the curve.
    #[must_use]
    pub fn threshold(&self, frequency_hz: f64) -> Option<f64> {
        let span = |pair: &&[(f64, f64)]| (pair[0].0..=pair[1].0).contains(&frequency_hz);
        let pair = self.points.windows(2).find(span)?;
        let [(from, low), (to, high)] = [pair[0], pair[1]];
        let part = (frequency_hz / from).ln() / (to / from).ln();
        Some(low * (high / low).powf(part))
    }

    /// The line that is worst against this curve; `None` if no line lies within it. Margin 1 is just seen.
    #[must_use]
    pub fn worst(&self, lines: &[Line]) -> Option<Worst> {
        Worst::among(lines, |frequency| self.threshold(frequency))
    }
}

/// All published curves.
#[must_use]
pub fn curves() -> &'static [Curve] {
    static CURVES: OnceLock<Vec<Curve>> = OnceLock::new();
    CURVES.get_or_init(|| {
        let mut curves: Vec<Curve> = Vec::new();
        for row in csv::Reader::from_reader(TABLE.as_bytes()).records() {
            add_point(&mut curves, &row.expect("a table row"));
        }
        curves
    })
}

fn add_point(curves: &mut Vec<Curve>, row: &csv::StringRecord) {
    let number = |column: usize| row[column].parse().expect("a number in the table");
    if curves.last().is_none_or(|curve| curve.name != row[0]) {
        curves.push(Curve {
            name: row[0].to_owned(),
            points: Vec::new(),
        });
    }
    let curve = curves.last_mut().expect("a curve");
    curve.points.push((number(1), number(2)));
}
