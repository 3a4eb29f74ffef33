//! The exponential curve against its closed form, at every Level.

use milliglow::curve::Exponential;
use milliglow::{Error, Level, Light};

pub(crate) const DEPTHS: [u32; 10] = [
    10, 11, 100, 254, 1_000, 3_333, 10_000, 65_535, 99_999, 100_000,
];
pub(crate) const TAILS: [u16; 7] = [0, 1, 2, 8, 100, 2_048, 4_096];

/// All curves of the grid, with what they were made of.
pub(crate) fn grid() -> impl Iterator<Item = (u32, u16, Exponential)> {
    let pairs = DEPTHS
        .into_iter()
        .flat_map(|depth| TAILS.into_iter().map(move |tail| (depth, tail)));
    pairs.map(|(depth, tail)| (depth, tail, Exponential::new(depth, tail).expect("allowed")))
}

pub(crate) fn light(curve: &Exponential, level: u16) -> u32 {
    curve.light(Level::from_bits(level)).to_bits()
}

/// `depth ^ -((65 535 - Level) / (65 535 - join))`.
pub(crate) fn closed_form(depth: u32, tail: u16, level: u16) -> f64 {
    let span = f64::from(u16::MAX - tail.max(1));
    f64::from(depth).powf(-f64::from(u16::MAX - level) / span)
}

/// The largest relative error from the join up.
fn worst(depth: u32, tail: u16) -> f64 {
    let curve = Exponential::new(depth, tail).expect("allowed");
    let errors = (tail.max(1)..=u16::MAX).map(|level| {
        curve.light(Level::from_bits(level)).as_f64() / closed_form(depth, tail, level) - 1.0
    });
    errors.map(f64::abs).fold(0.0, f64::max)
}

#[test]
fn within_the_stated_error() {
    for (depth, bound) in [(1_000, 1e-6), (10_000, 2.5e-6), (100_000, 1.3e-5)] {
        for tail in TAILS {
            let worst = worst(depth, tail);
            assert!(worst <= bound, "1:{depth}, tail {tail}: {worst:e}");
        }
    }
}

#[test]
fn within_the_error_of_the_deepest_curve_at_any_depth() {
    for depth in DEPTHS {
        let worst = worst(depth, 0);
        assert!(worst <= 1.3e-5, "1:{depth}: {worst:e}");
    }
}

#[test]
fn strictly_increasing_from_black_to_full() {
    for (depth, tail, curve) in grid() {
        for level in 1..=u16::MAX {
            let (below, here) = (light(&curve, level - 1), light(&curve, level));
            assert!(
                below < here,
                "1:{depth}, tail {tail}, Level {level}: {below}, {here}"
            );
        }
    }
}

#[test]
fn exact_at_both_ends_and_at_the_join() {
    for (depth, tail, curve) in grid() {
        let lowest = Light::from_ratio_nearest(1, depth)
            .expect("a ratio")
            .to_bits();
        assert_eq!(light(&curve, 0), 0, "1:{depth}, tail {tail}");
        assert_eq!(light(&curve, tail.max(1)), lowest, "1:{depth}, tail {tail}");
        assert_eq!(
            curve.light(Level::FULL),
            Light::FULL,
            "1:{depth}, tail {tail}"
        );
    }
}

#[test]
fn refuses_what_is_not_allowed() {
    assert_eq!(Exponential::new(9, 0), Err(Error::Depth));
    assert_eq!(Exponential::new(100_001, 0), Err(Error::Depth));
    assert_eq!(Exponential::new(1_000, 4_097), Err(Error::TailLevels));
}
