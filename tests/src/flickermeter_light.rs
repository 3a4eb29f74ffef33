//! The light that light flickermeters are verified with.

use std::f64::consts::PI;

/// `(1 - 0.11 cos(2 pi 100 t)) (1 + depth / 2 sgn(sin(2 pi f t)))`, the mean over each sample's interval by exact
/// integration: sampled at instants, the edges of the square would fold.
///
/// Source: verification waveforms of IEC TR 61547-1 as coded in a public study.
#[must_use]
pub fn flickermeter_light(hz: f64, depth: f64, rate_hz: f64, count: usize) -> Vec<f64> {
    let half_period = 0.5 / hz;
    let mean = |index: usize| {
        let (from, to) = (index as f64 / rate_hz, (index + 1) as f64 / rate_hz);
        let halves = (from / half_period).floor();
        let edge = ((halves + 1.0) * half_period).min(to);
        let swing = 0.5 * depth * if halves % 2.0 == 0.0 { 1.0 } else { -1.0 };
        let before = (rippled(edge) - rippled(from)) * (1.0 + swing);
        let after = (rippled(to) - rippled(edge)) * (1.0 - swing);
        (before + after) * rate_hz
    };
    (0..count).map(mean).collect()
}

/// Light of the ripple alone, from time 0 on.
fn rippled(time: f64) -> f64 {
    let omega = 2.0 * PI * 100.0;
    time - 0.11 * (omega * time).sin() / omega
}
