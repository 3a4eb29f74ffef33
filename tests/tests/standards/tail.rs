//! The tail to black joins the curve above in value and slope.

use crate::exponential::{grid, light};

/// Slope at the end of three values a Level apart, as that of the parabola through them.
fn slope(end: u32, next: u32, last: u32) -> f64 {
    (3.0 * f64::from(end) - 4.0 * f64::from(next) + f64::from(last)) / 2.0
}

/// Four units are what rounding does to a slope; in the shallow curves an error of 1e-7 of the light is 1 % of the slope.
#[test]
fn slopes_agree_at_the_join() {
    for (depth, tail, curve) in grid().filter(|&(_, tail, _)| tail >= 2) {
        let at = |level| light(&curve, level);
        let below = slope(at(tail), at(tail - 1), at(tail - 2));
        let above = -slope(at(tail), at(tail + 1), at(tail + 2));
        let allowed = 0.012 * above + 4.0;
        assert!(
            (below - above).abs() <= allowed,
            "1:{depth}, tail {tail}: {below}, {above}"
        );
    }
}

/// Straight lines between black and the join would leave the last lit step a jump; the tail's is at most twice the mean.
#[test]
fn the_last_lit_step_is_small() {
    for (depth, tail, curve) in grid().filter(|&(_, tail, _)| tail >= 100) {
        let mean = f64::from(light(&curve, tail)) / f64::from(tail);
        let last = f64::from(light(&curve, 1));
        assert!(
            last <= 2.0 * mean + 2.0,
            "1:{depth}, tail {tail}: {last}, mean {mean}"
        );
    }
}

#[test]
fn follows_the_stated_parabola() {
    for (depth, tail, curve) in grid().filter(|&(_, tail, _)| tail >= 2) {
        let c = f64::from(depth).ln() * f64::from(tail) / f64::from(u16::MAX - tail);
        for level in 0..=tail {
            let t = f64::from(level) / f64::from(tail);
            let way = t * t + (2.0 - c) * (t - t * t);
            let off = f64::from(light(&curve, level)) - way * f64::from(light(&curve, tail));
            assert!(
                off.abs() <= 3.0 + 1e-6 * f64::from(light(&curve, level)),
                "1:{depth}, tail {tail}, Level {level}: {off}"
            );
        }
    }
}
