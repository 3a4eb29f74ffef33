//! Driven channels as one-bit lanes that add up to their light: the ones, and the rising edges, which take of it.

use super::decimator::Decimator;

/// A row of a channel's operating table, as its light has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LitRow {
    /// Light of an unbroken 1 over that of the channel's highest set point, 0 to 1.
    pub full: f64,
    /// Light that a rising edge takes, in ticks of an unbroken 1.
    pub edge_loss: f64,
}

impl LitRow {
    /// The highest set point of an ideal driver.
    pub const PLAIN: Self = Self {
        full: 1.0,
        edge_loss: 0.0,
    };
}

/// Makes samples of weighted sums of channels whose rows change, with the bands of [`Decimator`].
///
/// *Cost*: that of a decimator with one channel more for each row beyond the first, and twice as many where edges take light.
#[derive(Clone, Debug)]
pub struct Lanes<const W: usize> {
    channels: Vec<ChannelLanes>,
    decimator: Decimator<W>,
    /// The words of every lane.
    lanes: Vec<Vec<u32>>,
}

#[derive(Clone, Debug)]
struct ChannelLanes {
    first: usize,
    rows: usize,
    /// Whether each row has a lane of rising edges beside that of its ones.
    edges: bool,
    last_was_one: bool,
}

impl<const W: usize> Lanes<W> {
    /// From ticks of `tick_hz` to `sample_hz` samples a second; each channel with what an unbroken 1 of its highest set point
    /// gives, and its rows.
    #[must_use]
    pub fn new(channels: &[([f64; W], Vec<LitRow>)], tick_hz: u32, sample_hz: u32) -> Self {
        let mut weights = Vec::new();
        let mut lanes = Vec::with_capacity(channels.len());
        for (weight, rows) in channels {
            let edges = rows.iter().any(|row| row.edge_loss != 0.0);
            lanes.push(ChannelLanes {
                first: weights.len(),
                rows: rows.len(),
                edges,
                last_was_one: false,
            });
            let scaled = |by: f64| weight.map(|weight| weight * by);
            weights.extend(rows.iter().map(|row| scaled(row.full)));
            if edges {
                weights.extend(rows.iter().map(|row| scaled(-row.full * row.edge_loss)));
            }
        }
        Self {
            channels: lanes,
            decimator: Decimator::new(&weights, tick_hz, sample_hz),
            lanes: vec![Vec::new(); weights.len()],
        }
    }

    /// Time of the first sample in seconds after the first tick.
    #[must_use]
    pub fn first_sample_s(&self) -> f64 {
        self.decimator.first_sample_s()
    }

    /// Takes the next words of every channel, as many of each, with the row that each channel is in, and gives the samples that
    /// are ready.
    pub fn push(&mut self, words: &[&[u32]], rows: &[usize], sample: impl FnMut([f64; W])) {
        for ((channel, &words), &row) in self.channels.iter_mut().zip(words).zip(rows) {
            channel.fill(words, row, &mut self.lanes);
        }
        let lanes: Vec<_> = self.lanes.iter().map(Vec::as_slice).collect();
        self.decimator.push(&lanes, sample);
    }
}

impl ChannelLanes {
    fn fill(&mut self, words: &[u32], row: usize, lanes: &mut [Vec<u32>]) {
        let kinds = if self.edges { 2 } else { 1 };
        for lane in &mut lanes[self.first..self.first + kinds * self.rows] {
            lane.clear();
            lane.resize(words.len(), 0);
        }
        lanes[self.first + row].copy_from_slice(words);
        if self.edges {
            let edges = &mut lanes[self.first + self.rows + row];
            for (edges, &word) in edges.iter_mut().zip(words) {
                *edges = rising_edges(word, self.last_was_one);
                self.last_was_one = word & 1 != 0;
            }
        }
    }
}

/// The ticks of a word at which a run of ones begins, given the tick before it.
#[inline]
pub(super) fn rising_edges(word: u32, last_was_one: bool) -> u32 {
    word & !(word >> 1 | u32::from(last_was_one) << 31)
}

#[cfg(test)]
mod tests {
    use super::{Lanes, LitRow};
    use crate::optics::Decimator;

    /// What the ones and the rising edge of each tick give.
    fn plainly(words: &[u32], rows: &[(usize, LitRow)]) -> Vec<(f64, f64)> {
        let mut before = false;
        let bits = words
            .iter()
            .flat_map(|word| (0..32).rev().map(move |k| word >> k & 1 == 1));
        bits.enumerate()
            .map(|(tick, bit)| {
                let row = rows[tick / (32 * PIECE)].1;
                let edge = f64::from(u8::from(bit && !before));
                before = bit;
                (
                    row.full * f64::from(u8::from(bit)),
                    -row.full * row.edge_loss * edge,
                )
            })
            .collect()
    }

    const PIECE: usize = 500;

    #[test]
    fn rows_and_edges_weigh_what_they_should() {
        let rows = [
            LitRow {
                full: 0.0625,
                edge_loss: 0.5,
            },
            LitRow {
                full: 1.0,
                edge_loss: -0.25,
            },
        ];
        let words: Vec<u32> = (0..8 * PIECE as u32)
            .map(|word| word.wrapping_mul(0x9e37_79b9) | word >> 3)
            .collect();
        let order: Vec<_> = [0, 1, 1, 0, 1, 0, 0, 1].map(|row| (row, rows[row])).into();
        let mut found = Vec::new();
        let mut lanes = Lanes::new(&[([3.0], rows.to_vec())], 1_000_000, 8_000);
        for (piece, &(row, _)) in words.chunks(PIECE).zip(&order) {
            lanes.push(&[piece], &[row], |[value]| found.push(value));
        }
        // Each weight alone, in a decimator of its own.
        let light = plainly(&words, &order);
        let mut expected = vec![0.0; found.len()];
        for weight in [0.0625, 1.0, -0.0625 * 0.5, 0.25] {
            let lane: Vec<u32> = light
                .chunks(32)
                .map(|ticks| {
                    ticks.iter().fold(0, |word, &(ones, edges)| {
                        word << 1 | u32::from(ones == weight || edges == weight)
                    })
                })
                .collect();
            let mut samples = expected.iter_mut();
            Decimator::new(&[[3.0 * weight]], 1_000_000, 8_000).push(&[&lane], |[value]| {
                if let Some(sum) = samples.next() {
                    *sum += value;
                }
            });
        }
        assert!(found.len() > 800);
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < 1e-12, "{found} {expected}");
        }
    }
}
