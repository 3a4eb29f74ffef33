//! Targets, control steps, and where the luminaire is.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::density::Density;
use milliglow::fade::Pace;
use milliglow::luminaire::Target;
use milliglow::{Level, Light, Recipe};

use crate::error::status;
use crate::luminaire::Luminaire;
use crate::memory;

/// Sends the luminaire from where it is, in flight or not, to a Level (0 off, 65 535 full) and to shares (one a channel, in units of
/// 2^-32) in so many control steps, 0 for the next one; all arrive together. It divides: not for the tick interrupt.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_fade_to(
    luminaire: *mut Luminaire,
    level: u16,
    shares: *const u32,
    control_steps: u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL; there are as many shares as channels.
    status(
        unsafe { memory::exclusive(luminaire) }.and_then(|luminaire| {
            let given = unsafe { memory::slice(shares, luminaire.channels()) }?;
            let (level, recipe) = (Level::from_bits(level), memory::recipe(given));
            luminaire
                .core
                .fade_to(&Target { level, recipe }, Pace::new(control_steps));
            Ok(())
        }),
    )
}

/// One control step: moves Level and shares, and makes the densities of them. No division, bounded time.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_control_step(luminaire: *mut Luminaire) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { memory::exclusive(luminaire) }.map(|luminaire| luminaire.core.control_step()))
}

/// Holds the fade where it is until milliglow_resume or the next target.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_pause(luminaire: *mut Luminaire) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { memory::exclusive(luminaire) }.map(|luminaire| luminaire.core.pause()))
}

/// Goes on after a pause; arrival is later by the control steps paused.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_resume(luminaire: *mut Luminaire) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { memory::exclusive(luminaire) }.map(|luminaire| luminaire.core.resume()))
}

/// Where the Level is now, 0 to 65 535; 0 for NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_level(luminaire: *const Luminaire) -> u16 {
    // SAFETY: valid by the header, or NULL.
    unsafe { memory::shared(luminaire) }.map_or(0, |luminaire| luminaire.core.level().to_bits())
}

/// Control steps to arrival, 0 when standing still; 0 for NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_remaining(luminaire: *const Luminaire) -> u32 {
    // SAFETY: valid by the header, or NULL.
    unsafe { memory::shared(luminaire) }.map_or(0, |luminaire| luminaire.core.remaining())
}

/// Writes the set point of each channel's driver, a byte each: put them out as the first tick of the next words goes out.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_ranges(luminaire: *const Luminaire, ranges: *mut u8) -> i32 {
    // SAFETY: valid by the header, or NULL; there is a byte a channel.
    status(unsafe { memory::shared(luminaire) }.and_then(|luminaire| {
        let places = unsafe { memory::slice_mut(ranges, luminaire.channels()) }?;
        memory::write(places, luminaire.core.ranges());
        Ok(())
    }))
}

/// Writes the density of each channel (ones a tick, in units of 2^-32, 0xFFFFFFFF an unbroken 1): for timers that make PWM.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_densities(
    luminaire: *const Luminaire,
    densities: *mut u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL; there is a word a channel.
    status(unsafe { memory::shared(luminaire) }.and_then(|luminaire| {
        let places = unsafe { memory::slice_mut(densities, luminaire.channels()) }?;
        memory::write(places, luminaire.core.densities().map(Density::to_bits));
        Ok(())
    }))
}

/// Writes the light of each channel (share times the light of the Level, in units of 2^-32): for milliglow_flux_step. No division.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_lights(luminaire: *const Luminaire, lights: *mut u32) -> i32 {
    // SAFETY: valid by the header, or NULL; there is a word a channel.
    status(unsafe { memory::shared(luminaire) }.and_then(|luminaire| {
        let places = unsafe { memory::slice_mut(lights, luminaire.channels()) }?;
        let light = luminaire.curve.light(luminaire.core.level());
        let all = Recipe::new(luminaire.core.shares()).lights(light);
        memory::write(places, all.map(Light::to_bits));
        Ok(())
    }))
}
