//! The worst error of the light at a depth of 1:1000, by density and by counting ones.

use milliglow::Level;
use milliglow::curve::Exponential;
use milliglow::density::{Density, FirstOrder};

use crate::exponential::closed_form;

const DEPTH: u32 = 1_000;
const TAIL: u16 = 2_048;

fn density(level: u16) -> Density {
    let curve = Exponential::new(DEPTH, TAIL).expect("allowed");
    Density::from_light(curve.light(Level::from_bits(level)))
}

fn count(modulator: &mut FirstOrder, density: Density, words: usize) -> u32 {
    (0..words)
        .map(|_| modulator.next_word(density).count_ones())
        .sum()
}

/// Relative to the closed form, at every Level from 0.1 % up; the worst is above zero, or nothing was compared.
#[test]
fn by_density() {
    let error = |level| (density(level).as_f64() / closed_form(DEPTH, TAIL, level) - 1.0).abs();
    let worst = (TAIL..=u16::MAX).map(error).fold(0.0, f64::max);
    assert!((1e-8..=1e-6).contains(&worst), "{worst:e}");
}

/// A window of 32 768 ticks at every Level: within one pulse of the closed form, and no pulse missing over all.
#[test]
fn by_counting_every_level() {
    const TICKS: u32 = 32_768;
    let mut modulator = FirstOrder::new(0);
    let mut owed = 0.0;
    for level in TAIL..=u16::MAX {
        let ones = count(&mut modulator, density(level), TICKS as usize / 32);
        let exact = closed_form(DEPTH, TAIL, level) * f64::from(TICKS);
        assert!(
            (f64::from(ones) - exact).abs() <= 1.0 + 1e-6 * exact,
            "Level {level}: {ones}, {exact}"
        );
        owed += density(level).as_f64() * f64::from(TICKS) - f64::from(ones);
    }
    assert!((-1e-3..1.0).contains(&owed), "{owed}");
}

/// 2^30 ticks at 0.1 %: a million pulses, so that one pulse of counting is 1e-6 of them.
#[test]
fn by_counting_a_million_pulses_at_a_thousandth() {
    let ones = count(&mut FirstOrder::new(0), density(TAIL), 1 << 25);
    let off = f64::from(ones) * f64::from(DEPTH) / f64::from(1 << 30) - 1.0;
    assert!(off.abs() <= 2e-6, "{ones}: {off:e}");
}
