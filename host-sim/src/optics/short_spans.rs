//! Light cut into spans of at most one tick: the channels are summed tick by tick, not span by span.

use super::Decimator;
use super::moments::is_on;

impl<const W: usize> Decimator<W> {
    /// Spans of at most one tick: each tick's sums are made once.
    pub(super) fn push_short(&mut self, sample: &mut impl FnMut([f64; W])) {
        let mut begins: Option<[f64; W]> = None;
        while let Some(after) = self.next() {
            let first = begins.unwrap_or_else(|| self.sums_at(self.clock.begin()));
            let is_same = after.begin() == self.clock.begin();
            let last = if is_same {
                first
            } else {
                self.sums_at(after.begin())
            };
            let span = self.clock.span(&after);
            let [begun, ended] = span.shares();
            let moments = std::array::from_fn(|w| {
                span.to_unit(std::array::from_fn(|k| {
                    first[w] * begun[k] + last[w] * ended[k]
                }))
            });
            (self.clock, begins) = (after, Some(last));
            if let Some(out) = self.filter.push(moments) {
                sample(out);
            }
        }
    }

    /// The weighted sums at a tick.
    fn sums_at(&self, tick: usize) -> [f64; W] {
        let mut sums = [0.0; W];
        for &channel in &self.lit {
            if is_on(&self.words[channel], tick) {
                let weights = self.weights[channel];
                sums.iter_mut()
                    .zip(weights)
                    .for_each(|(sum, weight)| *sum += weight);
            }
        }
        sums
    }
}

#[cfg(test)]
mod tests {
    use crate::optics::Decimator;

    /// Samples of noise on three channels, the second one dark for a while.
    fn samples(tick_hz: u32, sample_hz: u32, is_split: bool) -> Vec<[f64; 2]> {
        let noise = |k: u32| {
            let word = k.wrapping_mul(0x9e37_79b9);
            word ^ word >> 13
        };
        let words = |channel: u32| (0..3_000).map(move |k| noise(k + 5_000 * channel));
        let dark = words(1).enumerate();
        let dark = dark.map(|(k, word)| if k < 1_500 { 0 } else { word });
        let channels = [
            words(0).collect(),
            dark.collect(),
            words(2).collect::<Vec<u32>>(),
        ];
        let mut decimator =
            Decimator::new(&[[1.0, 0.3], [2.0, 0.1], [5.0, 1.7]], tick_hz, sample_hz);
        let mut samples = Vec::new();
        for begin in (0..3_000).step_by(100) {
            let piece = channels.each_ref().map(|words| &words[begin..begin + 100]);
            if is_split {
                decimator.push_as_split(&piece, |sample| samples.push(sample));
            } else {
                decimator.push(&piece, |sample| samples.push(sample));
            }
        }
        samples
    }

    #[test]
    fn short_spans_give_the_samples_of_split_ones() {
        // 0.59 of a tick, and all of one.
        for (tick_hz, sample_hz) in [(750_000, 80_000), (1_280_000, 80_000)] {
            let (short, split) = (
                samples(tick_hz, sample_hz, false),
                samples(tick_hz, sample_hz, true),
            );
            assert!(short.len() > 5_000 && short.len() == split.len());
            for (short, split) in short.iter().flatten().zip(split.iter().flatten()) {
                assert!((short - split).abs() < 1e-12, "{short} {split}");
            }
        }
    }

    impl<const W: usize> Decimator<W> {
        /// Whatever the length of the spans.
        fn push_as_split(&mut self, words: &[&[u32]], mut sample: impl FnMut([f64; W])) {
            self.keep(words);
            self.look_for_light();
            self.push_split(&mut sample);
            self.forget();
        }
    }
}
