//! What a firmware would do with general-purpose crates instead.

use dsp_process::Process;
use fixed::types::{I16F16, U0F32};
use idsp::Dsm;

/// Full light over lowest light of the curves compared.
pub const DEPTH: f32 = 1_000.0;

/// Levels from full light to `1 / DEPTH`, as on a curve without a tail.
const SPAN: f32 = 65_534.0;

/// 32 ticks of the first-order modulator of `idsp`, packed as ours are.
pub fn idsp_word(modulator: &mut Dsm<1>, density: u32) -> u32 {
    (0..32).fold(0, |word, _| {
        (word << 1) | u32::from(modulator.process(density) != 0)
    })
}

/// The exponential curve by `libm::exp2f`.
pub fn libm_curve(level: u16) -> f32 {
    let octaves_a_level = const { 9.965_784 / SPAN };
    libm::exp2f((f32::from(level) - 65_535.0) * octaves_a_level)
}

/// The exponential curve by the `exp` of `micromath`.
pub fn micromath_curve(level: u16) -> f32 {
    let nepers_a_level = const { 6.907_755_4 / SPAN };
    let exponent = (f32::from(level) - 65_535.0) * nepers_a_level;
    micromath::F32(exponent).exp().0
}

/// The exponential curve by the `exp` of `cordic`, in units of 2^-32.
pub fn cordic_curve(level: u16) -> u32 {
    let below_full = i64::from(u16::MAX - level);
    let nepers_a_level_q48 = const { (6.907_755_4 / SPAN * 281_474_976_710_656.0) as i64 };
    let exponent = I16F16::from_bits(-((below_full * nepers_a_level_q48) >> 32) as i32);
    let fraction: I16F16 = cordic::exp(exponent);
    (fraction.to_bits().clamp(0, 0xFFFF) as u32) << 16
}

/// A float fraction in units of 2^-32, as a modulator needs it.
pub fn to_bits(fraction: f32) -> u32 {
    (fraction * 4_294_967_296.0) as u32
}

/// A product of fractions by `fixed`: a 64-bit product, rounded down; its largest value does not stand for 1.
pub fn fixed_product(a: u32, b: u32) -> u32 {
    (U0F32::from_bits(a) * U0F32::from_bits(b)).to_bits()
}
