//! CIE 1976 lightness: equal steps of Level are equal steps of L*.

use crate::{Level, Light, fraction};

/// The first Level on the cube: L* = 8 lies between it and the one before.
const FIRST_ON_CUBE: u16 = 5243;

/// Light of Level 1 on the straight part, (100 / 65 535) (3 / 29)^3 in units of 2^-48.
const STRAIGHT: u64 = rounded((100 * 27) << 48, 65_535 * 24_389);
/// (L* + 16) / 116 at Level 0 in units of 2^-32.
const ROOT_AT_OFF: u32 = rounded(16 << 32, 116) as u32;
/// Rise of (L* + 16) / 116 a Level in units of 2^-48.
const ROOT_A_LEVEL: u64 = rounded(100 << 48, 65_535 * 116);

const fn rounded(numerator: u128, denominator: u128) -> u64 {
    ((numerator + denominator / 2) / denominator) as u64
}

/// Light by CIE 1976 lightness, L* = 100 x Level / 65 535: a cube, and straight below L* = 8.
///
/// *Error* (asserted over all Levels): at most 1.3e-9 of full light, and 5e-7 of the light above 0.05 %. Strictly increasing; both ends exact.
/// *Cost*: no table; eight 16-bit products, no division.
/// *Source*: CIE 15, section 8.2.1; ISO/CIE 11664-4.
pub(super) const fn light(level: Level) -> Light {
    let bits = if level.to_bits() < FIRST_ON_CUBE {
        scaled(level, STRAIGHT)
    } else if level.to_bits() == u16::MAX {
        u32::MAX
    } else {
        let root = ROOT_AT_OFF + scaled(level, ROOT_A_LEVEL);
        fraction::product(fraction::product(root, root), root)
    };
    Light::from_bits(bits)
}

/// Level times a constant in units of 2^-48, in units of 2^-32.
const fn scaled(level: Level, constant: u64) -> u32 {
    let level = level.to_bits() as u32;
    let (high, low) = ((constant >> 16) as u32, (constant & 0xFFFF) as u32);
    level * high + ((level * low) >> 16)
}
