//! Light cut into spans of equal length, whole numbers of ticks or not, exactly.

use super::moments::{Moments, is_on, moments};

/// The next span of a clock: begins `rest / span_hz` of a tick after a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spans {
    tick_hz: u64,
    span_hz: u64,
    /// Tick in which the span begins, counted from the first tick at hand.
    tick: usize,
    rest: u64,
}

impl Spans {
    pub(super) fn new(tick_hz: u32, span_hz: u64) -> Self {
        Self {
            tick_hz: u64::from(tick_hz),
            span_hz,
            tick: 0,
            rest: 0,
        }
    }

    /// Length of a span in ticks.
    pub(super) fn ticks(&self) -> f64 {
        self.tick_hz as f64 / self.span_hz as f64
    }

    /// Tick in which the span begins.
    pub(super) fn begin(&self) -> usize {
        self.tick
    }

    /// The span after this one.
    pub(super) fn next(&self) -> Self {
        let rest = self.rest + self.tick_hz;
        Self {
            tick: self.tick + (rest / self.span_hz) as usize,
            rest: rest % self.span_hz,
            ..*self
        }
    }

    /// The same span after the first `ticks` ticks were dropped.
    pub(super) fn after_dropping(self, ticks: usize) -> Self {
        Self {
            tick: self.tick - ticks,
            ..self
        }
    }

    fn fraction(&self) -> f64 {
        self.rest as f64 / self.span_hz as f64
    }

    /// Integrals over the span of light, light x u, light x u^2, u running from 0 to 1, over the span's length.
    ///
    /// Ticks that the span's ends split count with the part inside.
    pub(super) fn moments(&self, next: &Self, words: &[u32]) -> Moments {
        let ticks = (next.tick - self.tick) as u32;
        let mut sum = moments(words, self.tick, ticks);
        if is_on(words, self.tick) {
            add(&mut sum, 0.0, self.fraction(), -1.0);
        }
        if is_on(words, next.tick) {
            let begin = f64::from(ticks);
            add(&mut sum, begin, begin + next.fraction(), 1.0);
        }
        let [light, first, second] = sum;
        let (from, length) = (self.fraction(), self.ticks());
        [
            light / length,
            (first - from * light) / length.powi(2),
            (second - 2.0 * from * first + from * from * light) / length.powi(3),
        ]
    }
}

/// Adds `sign` times the moments of light from `begin` to `end`.
fn add(sum: &mut Moments, begin: f64, end: f64, sign: f64) {
    sum[0] += sign * (end - begin);
    sum[1] += sign * (end * end - begin * begin) / 2.0;
    sum[2] += sign * (end * end * end - begin * begin * begin) / 3.0;
}
