//! From Level to light and back.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::{Level, Light};

use crate::error::{code, status};
use crate::luminaire::Luminaire;
use crate::memory;

/// The light of a Level on the luminaire's curve, in units of 2^-32; 0 for NULL. For any context: a curve never changes.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_light_of_level(luminaire: *const Luminaire, level: u16) -> u32 {
    // SAFETY: valid by the header, or NULL.
    unsafe { memory::shared(luminaire) }.map_or(0, |luminaire| {
        luminaire.curve.light(Level::from_bits(level)).to_bits()
    })
}

/// The highest Level whose light is not above this light; 0 for NULL. Sixteen times the cost of milliglow_light_of_level. For any
/// context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_level_of_light(luminaire: *const Luminaire, light: u32) -> u16 {
    // SAFETY: valid by the header, or NULL.
    unsafe { memory::shared(luminaire) }.map_or(0, |luminaire| {
        luminaire.curve.level(Light::from_bits(light)).to_bits()
    })
}

/// Writes numerator / denominator, 0 to 1, to the nearest 2^-32: for light and shares. It divides. For any context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_fraction(
    numerator: u32,
    denominator: u32,
    fraction: *mut u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { memory::exclusive(fraction) }.and_then(|place| {
        let light = Light::from_ratio_nearest(numerator, denominator).map_err(code)?;
        *place = light.to_bits();
        Ok(())
    }))
}
