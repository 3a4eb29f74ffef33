//! That no density of first order hides a strong slow line.

use super::{LineBand, SteadyChannel, steady_lines};
use milliglow::density::Density;

const TICK_HZ: f64 = 1e6;

/// The strongest line at or below a frequency, floors low enough for what is claimed.
fn strongest(density: u32, below_hz: f64) -> f64 {
    let channel = SteadyChannel::new(Density::from_bits(density), 12_345, 1.0);
    let band = LineBand {
        below_hz,
        floor: 0.5 * below_hz / TICK_HZ,
    };
    let lines = steady_lines(&[channel], TICK_HZ, band).into_iter();
    lines.map(|line| line.line().amplitude).fold(0.0, f64::max)
}

/// Every 2^17th density, which come with those of short periods, and the ones beside each, whose beats are slowest.
fn densities() -> impl Iterator<Item = u32> {
    (1..1u32 << 15).flat_map(|k| [(k << 17) - 1, k << 17, (k << 17) + 1])
}

/// A channel whose pulses come faster than F has no line below F beyond pi F / tick rate of its mean, and hardly one beyond
/// 2 F / tick rate: multiples k of the density that come near a whole number m have `2 sin(pi F / tick rate) / (q sin(pi k / q))
/// / density`, where k x density is at least 1 less F / tick rate and the sine at least 2 k / q. No density hides a strong slow line.
#[test]
fn no_line_slower_than_the_pulses_is_stronger_than_its_frequency_allows() {
    for below_hz in [100.0, 1_000.0] {
        let ratio = below_hz / TICK_HZ;
        let slowest = (1.02 * ratio * 4_294_967_296.0) as u32;
        let (mut worst, mut beyond, mut all) = (0.0_f64, 0, 0);
        for density in densities().filter(|&density| density > slowest) {
            let strongest = strongest(density, below_hz) / ratio;
            worst = worst.max(strongest);
            beyond += u32::from(strongest > 2.0 * (1.0 + 2.0 * ratio));
            all += 1;
        }
        assert!(all > 90_000 && worst > 1.9, "{all} {worst}");
        assert!(
            worst < std::f64::consts::PI * (1.0 + 2.0 * ratio),
            "{worst}"
        );
        assert!(
            f64::from(beyond) < 0.01 * f64::from(all),
            "{beyond} of {all}"
        );
    }
}

/// Where the pulses themselves are slower, the claim is false: they are lines of twice the mean.
#[test]
fn slow_pulses_are_strong_lines() {
    // 61 pulses a second.
    assert!(strongest(1 << 18, 100.0) > 1.99);
}
