//! How many cases a property has, and what they are drawn from.

use std::ops::RangeInclusive;

use milliglow::density::{Density, DitherWidth, Modulation};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// 1024 cases from a fixed seed: the same ones on every machine, and no files of failures.
pub fn cases() -> ProptestConfig {
    ProptestConfig {
        cases: 1024,
        rng_seed: RngSeed::Fixed(0x6D69_6C6C_6967_6C6F),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// About as many numbers in each octave as in any other; both ends come up.
pub fn log_uniform(range: RangeInclusive<u32>) -> impl Strategy<Value = u32> {
    let (low, high) = range.into_inner();
    let octaves = f64::from(high) / f64::from(low.max(1));
    prop_oneof![
        30 => (0.0..=1.0).prop_map(move |part: f64| (f64::from(low.max(1)) * octaves.powf(part)) as u32),
        1 => Just(low),
        1 => Just(high),
    ]
}

/// Fractions of 32 bits with both ends, and close to both as well as in the middle.
pub fn fractions() -> impl Strategy<Value = u32> {
    prop_oneof![
        3 => any::<u32>(),
        3 => log_uniform(0..=u32::MAX),
        2 => log_uniform(0..=u32::MAX).prop_map(|bits| !bits),
        1 => any::<u16>().prop_map(|bits| u32::from(bits) << 16),
        1 => any::<u16>().prop_map(u32::from),
    ]
}

/// Densities with both ends, and close to both as well as in the middle.
pub fn densities() -> impl Strategy<Value = Density> {
    fractions().prop_map(Density::from_bits)
}

/// All widths of dither.
pub fn dither_widths() -> impl Strategy<Value = DitherWidth> {
    (0..=8_u8).prop_map(|shift| DitherWidth::new(shift).expect("0 to 8 are allowed"))
}

/// All modulations.
pub fn modulations() -> impl Strategy<Value = Modulation> {
    prop_oneof![
        Just(Modulation::FirstOrder),
        dither_widths().prop_map(Modulation::Dithered),
        Just(Modulation::SecondOrder),
    ]
}
