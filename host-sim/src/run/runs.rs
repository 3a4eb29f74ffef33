//! Runs of ones in a stream.

use std::ops::Range;

/// Runs of ones of words whose most significant bit is the earliest tick.
#[must_use]
pub fn runs_of_ones(words: &[u32]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (index, &word) in words.iter().enumerate().filter(|(_, word)| **word != 0) {
        let ones = (0..32).filter(|k| word << k >> 31 == 1);
        for tick in ones.map(|k| 32 * index + k as usize) {
            match runs.last_mut() {
                Some(last) if last.end == tick => last.end = tick + 1,
                _ => runs.push(tick..tick + 1),
            }
        }
    }
    runs
}
