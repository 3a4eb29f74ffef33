//! The lines of light, 1 Hz wide.
//!
//! A line gathers the energy within half a hertz on either side of it, strongest lines first, and everything that is
//! compared with a limit is compared as such lines. Without that the lines of noise-like light depend on how long one
//! looked, for their energy spreads over ever more of them.

use std::cell::RefCell;

use super::{Line, Samples, windowed::Windowed};

/// Band and resolution.
pub const BAND: &str =
    "1 Hz to half the sample rate; lines 1 Hz wide (2 Hz apart in a record of 1 s)";

/// Shortest record in s whose lines are told.
pub const MIN_SECONDS: f64 = 1.0;

/// Half the width of a line in Hz.
pub(super) const HALF_WIDTH_HZ: f64 = 0.5;

/// Nearest that two lines of a record may be, in Hz.
pub(super) const APART_HZ: f64 = 1.0;

/// What is weaker is no line.
pub(super) const FLOOR: f64 = 1e-7;

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
/// or more, peaks interpolated as parabolas of the logarithm; more energy than the peak's within half a hertz counts as
/// the line's. A steady sine reads within 2e-4 of its amplitude from seven periods on and within 1e-5 from 90 on,
/// wherever it falls between bins; lines of even noise read 2 % to 18 % (30 s to 2 s) more than a hertz of it. Peaks that
/// stronger lines explain by leakage through the window are dropped, and so are amplitudes below 1e-7. Memory and time
/// grow with the record: cut long ones into segments of a few seconds, and give them to one [`Spectra`].
#[must_use]
pub fn lines(samples: Samples) -> Option<Vec<Line>> {
    thread_local! {
        /// Kept, since the next record is often as long.
        static SPECTRA: RefCell<Spectra> = RefCell::default();
    }
    SPECTRA.with_borrow_mut(|spectra| spectra.lines(samples))
}

/// Tells the lines of one record after the other; what the first one needed (about 45 numbers a sample) is kept for the next.
#[derive(Clone, Default)]
pub struct Spectra {
    transform: Windowed,
    peaks: Vec<usize>,
    leakage: Vec<f64>,
    free: Vec<bool>,
}

impl Spectra {
    /// As [`lines`].
    pub fn lines(&mut self, samples: Samples) -> Option<Vec<Line>> {
        self.transform.take(samples)?;
        self.clear();
        self.transform.peaks(&mut self.peaks);
        let mut lines = Vec::new();
        for &bin in &self.peaks {
            let explained = FLOOR + 1.2 * self.leakage[bin];
            if self.free[bin] && self.transform.amplitude(bin) > explained {
                self.transform.exclude(bin, &mut self.free);
                self.transform.leak(bin, &mut self.leakage);
                lines.push(self.transform.line(bin));
            }
        }
        lines.sort_by(|one, other| one.frequency_hz.total_cmp(&other.frequency_hz));
        Some(lines)
    }

    fn clear(&mut self) {
        let bins = self.transform.power.len();
        self.leakage.clear();
        self.leakage.resize(bins, 0.0);
        self.free.clear();
        self.free.resize(bins, true);
        self.peaks.clear();
        self.peaks.reserve_exact(bins / 2);
    }

    /// Numbers that there is room for.
    #[cfg(test)]
    pub(crate) fn room(&self) -> usize {
        let own = [
            self.peaks.capacity(),
            self.leakage.capacity(),
            self.free.capacity(),
        ];
        self.transform.room() + own.iter().sum::<usize>()
    }
}
