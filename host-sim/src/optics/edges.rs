//! Samples of a light that is constant from edge to edge, at any times.

use super::decimator::{SPANS, SpanFilter};
use super::moments::Moments;

/// Makes samples of `W` lights given as levels and how long each lasts: integrated exactly, then filtered and thinned like
/// [`Decimator`](super::Decimator) does, with its bands.
#[derive(Clone, Debug)]
pub struct EdgeSampler<const W: usize> {
    spans_a_second: f64,
    filter: SpanFilter<W>,
    /// Part of the open span that is done, 0 to 1, and its moments.
    done: f64,
    open: [Moments; W],
}

impl<const W: usize> EdgeSampler<W> {
    /// Towards `sample_hz` samples a second, above 0.
    #[must_use]
    pub fn new(sample_hz: f64) -> Self {
        Self {
            spans_a_second: sample_hz * f64::from(SPANS),
            filter: SpanFilter::new(),
            done: 0.0,
            open: [Moments::default(); W],
        }
    }

    /// Time of the first sample in seconds after the begin.
    #[must_use]
    pub fn first_sample_s(&self) -> f64 {
        self.filter.delay_spans() / self.spans_a_second
    }

    /// The lights stay for so long; gives the samples that are ready.
    pub fn lasts(&mut self, lights: [f64; W], seconds: f64, mut sample: impl FnMut([f64; W])) {
        let mut left = seconds * self.spans_a_second;
        while self.done + left >= 1.0 {
            left -= 1.0 - self.done;
            self.add(&lights, 1.0);
            let moments = std::mem::replace(&mut self.open, [Moments::default(); W]);
            self.done = 0.0;
            if let Some(out) = self.filter.push(moments) {
                sample(out);
            }
        }
        self.add(&lights, self.done + left);
    }

    fn add(&mut self, lights: &[f64; W], end: f64) {
        let (begin, width) = (self.done, end - self.done);
        let second = width * (end + begin) / 2.0;
        let third = width * (end * end + end * begin + begin * begin) / 3.0;
        let powers = [width, second, third];
        for (moments, light) in self.open.iter_mut().zip(lights) {
            for (moment, power) in moments.iter_mut().zip(powers) {
                *moment += light * power;
            }
        }
        self.done = end;
    }
}

#[cfg(test)]
mod tests {
    use super::EdgeSampler;
    use crate::optics::Decimator;

    #[test]
    fn edges_and_ticks_of_the_same_stream_give_the_same_samples() {
        const TICK_HZ: u32 = 1_000_000;
        let words: Vec<u32> = (0..20_000_u32)
            .map(|word| word.wrapping_mul(0x9e37_79b9))
            .collect();
        let mut expected = Vec::new();
        Decimator::new(&[[1.5]], TICK_HZ, 8_000).push(&[&words], |[value]| expected.push(value));

        let mut found = Vec::new();
        let mut sampler = EdgeSampler::new(8_000.0);
        let bits = words
            .iter()
            .flat_map(|word| (0..32).rev().map(move |bit| word >> bit & 1));
        for bit in bits {
            sampler.lasts(
                [1.5 * f64::from(bit)],
                1.0 / f64::from(TICK_HZ),
                |[value]| {
                    found.push(value);
                },
            );
        }
        assert!(expected.len() > 4_000 && found.len().abs_diff(expected.len()) <= 1);
        for (found, expected) in found.iter().zip(&expected) {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
    }
}
