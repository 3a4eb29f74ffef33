//! Light cut into spans of a whole number of ticks: their moments from a table of all that a few ticks can be.

use super::moments::Moments;
use super::spans::Spans;

/// Ticks that a table takes at once: 6 kB a table, which stays near the processor.
const MOST: u32 = 8;

/// Ticks of which one pair of words surely holds all.
const PAIR: u32 = 32;

/// Moments of spans, all channels weighted together.
#[derive(Clone, Debug)]
pub(super) struct WholeSpans<const W: usize> {
    ticks: usize,
    pieces: Vec<Piece>,
    sums: Vec<[Moments; W]>,
}

/// Some ticks of every span.
#[derive(Clone, Debug)]
struct Piece {
    /// Ticks of the span before the pair of words that holds this piece, and before the piece within it.
    base: usize,
    offset: u32,
    bits: u32,
    /// Moments for each pattern of these ticks, for a time that runs from 0 to 1 over the span.
    table: Vec<Moments>,
}

impl<const W: usize> WholeSpans<W> {
    /// Spans of so many ticks, at least 1.
    pub(super) fn new(ticks: u32) -> Self {
        let piece = |begin: u32| Piece::new(begin, MOST.min(ticks - begin), ticks);
        Self {
            ticks: ticks as usize,
            pieces: (0..ticks).step_by(MOST as usize).map(piece).collect(),
            sums: Vec::new(),
        }
    }

    /// Shows the weighted moments of every span from `clock` on that the words hold, all but the last word; gives the clock
    /// after them.
    pub(super) fn weighted(
        &mut self,
        clock: Spans,
        weights: &[[f64; W]],
        words: &[Vec<u32>],
        see: impl FnMut([Moments; W]),
    ) -> Spans {
        let at_hand = 32
            * words
                .first()
                .map_or(0, |words| words.len().saturating_sub(1));
        let spans = at_hand.saturating_sub(clock.begin()) / self.ticks;
        self.sums.clear();
        self.sums.resize(spans, [[0.0; 3]; W]);
        for (weights, words) in weights.iter().zip(words) {
            // A dark channel is skipped.
            if words.iter().any(|&word| word != 0) {
                for piece in &self.pieces {
                    piece.add(clock.begin(), self.ticks, weights, words, &mut self.sums);
                }
            }
        }
        self.sums.iter().copied().for_each(see);
        clock.after_spans(spans as u64)
    }
}

impl Piece {
    fn new(begin: u32, bits: u32, ticks: u32) -> Self {
        let length = f64::from(ticks);
        let power = |tick: u32, k: i32| (f64::from(tick) / length).powi(k) / f64::from(k);
        let one = |tick: u32| [1, 2, 3].map(|k| power(tick + 1, k) - power(tick, k));
        let table = (0..1u32 << bits).map(|pattern| {
            let lit = (0..bits).filter(|place| pattern >> (bits - 1 - place) & 1 == 1);
            lit.fold([0.0; 3], |sum: Moments, place| {
                let one = one(begin + place);
                std::array::from_fn(|k| sum[k] + one[k])
            })
        });
        Self {
            base: (begin / PAIR * PAIR) as usize,
            offset: begin % PAIR,
            bits,
            table: table.collect(),
        }
    }

    /// Adds a channel's moments to every span's.
    fn add<const W: usize>(
        &self,
        begin: usize,
        ticks: usize,
        weights: &[f64; W],
        words: &[u32],
        sums: &mut [[Moments; W]],
    ) {
        let mut from = begin + self.base;
        for sums in sums {
            let pair = u64::from(words[from / 32]) << 32 | u64::from(words[from / 32 + 1]);
            let kept = pair << (from % 32) << self.offset;
            let moments = self.table[(kept >> (u64::BITS - self.bits)) as usize];
            for (sum, weight) in sums.iter_mut().zip(weights) {
                for (sum, moment) in sum.iter_mut().zip(moments) {
                    *sum += weight * moment;
                }
            }
            from += ticks;
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::optics::Decimator;

    /// A rate that both kinds of spans can have: the same samples.
    #[test]
    fn whole_spans_and_split_ones_give_the_same_samples() {
        let noise = |seed: u32| -> Vec<u32> {
            let scrambled = (0..40_000_u32).map(|k| (k ^ seed).wrapping_mul(0x9e37_79b9));
            scrambled.map(|word| word ^ word >> 13).collect()
        };
        let words = [noise(1), vec![0; 40_000], noise(77)];
        let weights = [[1.0, 0.3], [2.0, 0.1], [5.0, 1.7]];
        // 7, 32 and 100 ticks a span.
        for (tick_hz, sample_hz) in [(1_344_000, 12_000), (1_024_000, 2_000), (3_200_000, 2_000)] {
            let samples = |mut decimator: Decimator<2>| {
                let mut samples = Vec::new();
                for piece in (0..40_000).step_by(997) {
                    let piece = piece..(piece + 997).min(40_000);
                    let words = words.each_ref().map(|words| &words[piece.clone()]);
                    decimator.push(&words, |sample| samples.push(sample));
                }
                samples
            };
            let split = samples(Decimator::new(&weights, tick_hz, sample_hz));
            let whole = Decimator::within(&weights, tick_hz, sample_hz..=sample_hz);
            assert_eq!(whole.sample_hz(), f64::from(sample_hz));
            assert!(whole.whole.is_some());
            let whole = samples(whole);
            assert_eq!(whole.len(), split.len());
            for (whole, split) in whole.iter().flatten().zip(split.iter().flatten()) {
                assert!((whole - split).abs() < 1e-11, "{tick_hz}: {whole} {split}");
            }
        }
    }

    #[test]
    fn a_range_without_a_whole_number_of_ticks_keeps_the_lowest_rate() {
        let decimator = Decimator::within(&[[1.0]], 400_000, 13_000..=20_000);
        assert_eq!(decimator.sample_hz(), 13_000.0);
        assert!(decimator.whole.is_none());
        let slow = Decimator::within(&[[1.0]], 1_000, 13_000..=20_000);
        assert_eq!(slow.sample_hz(), 13_000.0);
    }
}
