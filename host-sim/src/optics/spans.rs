//! Light cut into spans of equal length, whole numbers of ticks or not, exactly.

use super::moments::{Moments, is_on, moments};

/// A clock that cuts ticks into spans; the next one begins `rest / span_hz` of a tick after a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spans {
    tick_hz: u64,
    span_hz: u64,
    /// Tick in which the next span begins, counted from the first tick at hand.
    tick: usize,
    rest: u64,
}

/// One span.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    tick: usize,
    ticks: u32,
    /// What the first tick gives before the span begins.
    before: Moments,
    /// What the tick in which it ends gives within the span.
    within: Moments,
    from: f64,
    per_length: f64,
}

impl Spans {
    pub(super) fn new(tick_hz: u64, span_hz: u64) -> Self {
        Self {
            tick_hz,
            span_hz,
            tick: 0,
            rest: 0,
        }
    }

    /// Whether a span lasts a tick at the most.
    pub(super) fn are_short(&self) -> bool {
        self.tick_hz <= self.span_hz
    }

    /// Tick in which the next span begins.
    pub(super) fn begin(&self) -> usize {
        self.tick
    }

    /// The clock after the next span.
    pub(super) fn after(&self) -> Self {
        self.after_spans(1)
    }

    /// The clock after so many spans.
    pub(super) fn after_spans(&self, spans: u64) -> Self {
        let rest = self.rest + spans * self.tick_hz;
        Self {
            tick: self.tick + (rest / self.span_hz) as usize,
            rest: rest % self.span_hz,
            ..*self
        }
    }

    /// The same clock after the first `ticks` ticks were dropped.
    pub(super) fn after_dropping(self, ticks: usize) -> Self {
        Self {
            tick: self.tick - ticks,
            ..self
        }
    }

    fn fraction(&self) -> f64 {
        self.rest as f64 / self.span_hz as f64
    }

    /// The next span, which ends where `after` begins.
    pub(super) fn span(&self, after: &Self) -> Span {
        let ticks = (after.tick - self.tick) as u32;
        let (from, end) = (self.fraction(), f64::from(ticks));
        Span {
            tick: self.tick,
            ticks,
            before: lit(0.0, from),
            within: lit(end, end + after.fraction()),
            from,
            per_length: self.span_hz as f64 / self.tick_hz as f64,
        }
    }
}

/// Moments of a tick that is lit.
const ONE_TICK: Moments = [1.0, 1.0 / 2.0, 1.0 / 3.0];

impl Span {
    /// Integrals over the span of light, light x t and light x t^2, t in ticks from the begin of the first tick.
    ///
    /// Ticks that the span's ends split count with the part inside.
    #[inline]
    pub(super) fn moments(&self, words: &[u32]) -> Moments {
        let first = f64::from(u8::from(is_on(words, self.tick)));
        let last = f64::from(u8::from(is_on(words, self.tick + self.ticks as usize)));
        let whole = moments(words, self.tick, self.ticks);
        std::array::from_fn(|k| whole[k] - first * self.before[k] + last * self.within[k])
    }

    /// For a span of at most one tick: what a light of 1 in the tick in which it begins adds to its moments, and in the one in
    /// which it ends. The same tick twice if it ends where it began.
    #[inline]
    pub(super) fn shares(&self) -> [Moments; 2] {
        let whole = if self.ticks == 0 { [0.0; 3] } else { ONE_TICK };
        [
            std::array::from_fn(|k| whole[k] - self.before[k]),
            self.within,
        ]
    }

    /// The same over the span's length, for a time that runs from 0 to 1 over the span.
    #[inline]
    pub(super) fn to_unit(self, [light, first, second]: Moments) -> Moments {
        let (from, by) = (self.from, self.per_length);
        [
            light * by,
            (first - from * light) * by * by,
            (second - 2.0 * from * first + from * from * light) * by * by * by,
        ]
    }
}

/// Moments of light from `begin` to `end`.
fn lit(begin: f64, end: f64) -> Moments {
    [
        end - begin,
        (end * end - begin * begin) / 2.0,
        (end * end * end - begin * begin * begin) / 3.0,
    ]
}
