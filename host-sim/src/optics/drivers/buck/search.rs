//! Where a smooth function first changes its sign.

/// The first zero of `value` from 0 to `limit`, steps of `step` at most; infinite if its sign stays that at 0.
///
/// *Error*: 1e-15 of where it lies, by a false position that halves the weight of an end that stays (Illinois rule).
pub(super) fn crossing(value: impl Fn(f64) -> f64, limit: f64, step: f64) -> f64 {
    let mut low = (0.0, value(0.0));
    for number in 1..=MOST_STEPS {
        let at = (f64::from(number) * step).min(limit);
        let high = (at, value(at));
        if (low.1 > 0.0) != (high.1 > 0.0) {
            return zero(value, low, high, at * 1e-15);
        }
        if at == limit {
            break;
        }
        low = high;
    }
    f64::INFINITY
}

/// Past so many steps nothing comes.
const MOST_STEPS: u32 = 10_000_000;

fn zero(value: impl Fn(f64) -> f64, mut low: (f64, f64), mut high: (f64, f64), near: f64) -> f64 {
    for _ in 0..200 {
        if high.0 - low.0 <= near || high.1 == low.1 {
            break;
        }
        let at = ((low.0 * high.1 - high.0 * low.1) / (high.1 - low.1)).clamp(low.0, high.0);
        let found = value(at);
        if found == 0.0 {
            return at;
        }
        if (found > 0.0) == (high.1 > 0.0) {
            high = (at, found);
            low.1 /= 2.0;
        } else {
            low = (at, found);
            high.1 /= 2.0;
        }
    }
    high.0
}
