//! Driven channels as one-bit lanes that add up to their light: the ones, and the rising edges, which take of it.

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

/// The lanes of channels whose rows change: one for the ones of each row, and where edges take light one for the rising edges
/// of each.
#[derive(Clone, Debug)]
pub struct Lanes {
    channels: Vec<ChannelLanes>,
    words: Vec<Vec<u32>>,
}

#[derive(Clone, Debug)]
struct ChannelLanes {
    first: usize,
    rows: usize,
    edges: bool,
    last_was_one: bool,
}

impl Lanes {
    /// Of channels with these rows, dark so far.
    #[must_use]
    pub fn new<'a>(channels: impl IntoIterator<Item = &'a [LitRow]>) -> Self {
        let mut first = 0;
        let channel = |rows: &[LitRow]| {
            let channel = ChannelLanes {
                first,
                rows: rows.len(),
                edges: take_light(rows),
                last_was_one: false,
            };
            first += channel.count();
            channel
        };
        let channels: Vec<_> = channels.into_iter().map(channel).collect();
        Self {
            words: vec![Vec::new(); first],
            channels,
        }
    }

    /// What an unbroken 1 of each lane gives, from what each channel gives at its highest set point.
    #[must_use]
    pub fn weights<'a, const W: usize>(
        channels: impl IntoIterator<Item = ([f64; W], &'a [LitRow])>,
    ) -> Vec<[f64; W]> {
        let weights = channels.into_iter().flat_map(|(weight, rows)| {
            let edges = if take_light(rows) { rows } else { &[] };
            let ones = rows.iter().map(|row| row.full);
            let taken = edges.iter().map(|row| -row.full * row.edge_loss);
            ones.chain(taken)
                .map(move |by| weight.map(|weight| weight * by))
        });
        weights.collect()
    }

    /// Adds the next words of every channel, as many of each, with the row that each channel is in.
    pub fn add(&mut self, words: &[&[u32]], rows: impl IntoIterator<Item = usize>) {
        for ((channel, words), row) in self.channels.iter_mut().zip(words).zip(rows) {
            channel.add(words, row, &mut self.words);
        }
    }

    /// The words of every lane since they were cleared.
    #[must_use]
    pub fn words(&self) -> Vec<&[u32]> {
        self.words.iter().map(Vec::as_slice).collect()
    }

    /// Forgets the words; the last tick is remembered for the edge that may follow.
    pub fn clear(&mut self) {
        self.words.iter_mut().for_each(Vec::clear);
    }
}

fn take_light(rows: &[LitRow]) -> bool {
    rows.iter().any(|row| row.edge_loss != 0.0)
}

impl ChannelLanes {
    fn count(&self) -> usize {
        if self.edges { 2 * self.rows } else { self.rows }
    }

    fn add(&mut self, words: &[u32], row: usize, lanes: &mut [Vec<u32>]) {
        let lanes = &mut lanes[self.first..self.first + self.count()];
        for lane in lanes.iter_mut() {
            lane.resize(lane.len() + words.len(), 0);
        }
        let begin = lanes[0].len() - words.len();
        lanes[row][begin..].copy_from_slice(words);
        if self.edges {
            for (edges, &word) in lanes[self.rows + row][begin..].iter_mut().zip(words) {
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
        let mut lanes = Lanes::new([&rows[..]]);
        let weights = Lanes::weights([([3.0], &rows[..])]);
        let mut decimator = Decimator::new(&weights, 1_000_000, 8_000);
        for (piece, &(row, _)) in words.chunks(PIECE).zip(&order) {
            lanes.add(&[piece], [row]);
            decimator.push(&lanes.words(), |[value]| found.push(value));
            lanes.clear();
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
