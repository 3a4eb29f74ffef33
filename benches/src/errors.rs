//! The errors that stand beside the times.

use idsp::Dsm;
use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, DitherWidth, Dithered, FirstOrder, Lfsr32, SecondOrder};
use milliglow::{Level, Light, Share, constant};

use crate::peers;

/// 1:1000 without a tail.
pub const CURVE: Exponential = constant!(Exponential::new(peers::DEPTH as u32, 0));

/// The largest relative error over all lit Levels of what should be the exponential curve of 1:1000.
pub fn of_curve(curve: impl Fn(u16) -> f64) -> String {
    let exact = |level| 1_000_f64.powf((f64::from(level) - 65_535.0) / 65_534.0);
    let worst = (1..=u16::MAX).map(|level| (curve(level) / exact(level) - 1.0).abs());
    format!("{:.1e} of light", worst.fold(0.0, f64::max))
}

/// The largest relative error of the exponential curve of 1:1000.
pub fn of_exponential() -> String {
    of_curve(|level| CURVE.light(Level::from_bits(level)).as_f64())
}

/// The largest error of the lightness curve, of full light.
pub fn of_lightness() -> String {
    let exact = |level| match f64::from(level) / 655.35 {
        lightness if lightness > 8.0 => ((lightness + 16.0) / 116.0).powi(3),
        lightness => lightness * (3.0_f64 / 29.0).powi(3),
    };
    let light = |level| Curve::Lightness.light(Level::from_bits(level)).as_f64();
    let worst = (0..=u16::MAX).map(|level| (light(level) - exact(level)).abs());
    format!("{:.1e} of full", worst.fold(0.0, f64::max))
}

const WORDS: u32 = 1 << 21;

/// The relative error of a stream's mean over 2^26 ticks at 0.1 %, where a pulse is 1.5e-5 of it, and the zeros in as
/// many ticks at full, which should be unbroken.
fn of_words(mut next_word: impl FnMut(u32) -> u32) -> String {
    let mut ones = |density| {
        (0..WORDS)
            .map(|_| next_word(density).count_ones())
            .sum::<u32>()
    };
    let zeros = WORDS * 32 - ones(u32::MAX);
    let exact = f64::from(u32::MAX / 1_000) / 4_294_967_296.0 * f64::from(WORDS * 32);
    let mean = f64::from(ones(u32::MAX / 1_000)) / exact - 1.0;
    format!("mean {:.1e}, {zeros} zeros at full", mean.abs())
}

/// Mean and zeros of the first-order modulator of `idsp`.
pub fn of_idsp() -> String {
    let mut modulator = Dsm::<1>::default();
    of_words(|density| peers::idsp_word(&mut modulator, density))
}

/// Mean and zeros of our first-order modulator.
pub fn of_first_order() -> String {
    let mut modulator = FirstOrder::new(0);
    of_words(|density| modulator.next_word(Density::from_bits(density)))
}

/// Mean and zeros with dither one step wide.
pub fn of_dithered() -> String {
    let mut noise = constant!(Lfsr32::new(1));
    let mut modulator = Dithered::new(DitherWidth::ONE_STEP, 0);
    of_words(|density| {
        let mut word = [0];
        modulator.fill(Density::from_bits(density), &mut word, &mut noise);
        word[0]
    })
}

/// Mean and zeros of the second order.
pub fn of_second_order() -> String {
    let mut modulator = SecondOrder::new(0);
    of_words(|density| {
        let mut word = [0];
        modulator.fill(Density::from_bits(density), &mut word);
        word[0]
    })
}

/// The largest error of products, in units of 2^-32, and what full x full lacks of full.
pub fn of_product(product: impl Fn(u32, u32) -> u32) -> String {
    let mut worst = 0.0_f64;
    for k in 1..200_000_u32 {
        let (a, b) = (k.wrapping_mul(0x9E37_79B9), k.wrapping_mul(0x85EB_CA6B));
        let exact = (u64::from(a) * u64::from(b)) as f64 / 4_294_967_296.0;
        worst = worst.max((f64::from(product(a, b)) - exact).abs());
    }
    let lacks = u32::MAX - product(u32::MAX, u32::MAX);
    format!("{worst:.1} units, full lacks {lacks}")
}

/// Ours: see [`of_product`].
pub fn of_share() -> String {
    of_product(|a, b| Share::from_bits(a).of(Light::from_bits(b)).to_bits())
}
