//! Recipes as functions of Level.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::fade::Pace;
use milliglow::{Level, Recipe, Share};

use crate::configuration::MILLIGLOW_CHANNELS;
use crate::error::{MILLIGLOW_ERROR_CHANNELS, MILLIGLOW_ERROR_KNOTS, code, status};
use crate::luminaire::Luminaire;
use crate::memory;

/// The most knots of a recipe.
pub const MILLIGLOW_MOST_KNOTS: usize = 16;

/// A recipe as a function of Level.
pub struct Knots {
    core: milliglow::Knots<MILLIGLOW_CHANNELS, MILLIGLOW_MOST_KNOTS>,
    channels: u8,
}

/// As many bytes as the header says.
const _: () = assert!(size_of::<Knots>() <= 1160 && align_of::<Knots>() <= align_of::<usize>());

/// What a recipe through knots is made of.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct KnotsSetting {
    /// The Level of each knot, rising; they are copied.
    pub levels: *const u16,
    /// The shares of each knot in units of 2^-32, one a channel: those of the first knot, then those of the second; they are copied.
    pub shares: *const u32,
    /// Knots, 1 to 16.
    pub knot_count: u32,
    /// Channels of the luminaire, 1 to 16.
    pub channels: u8,
}

impl KnotsSetting {
    /// # Safety
    /// Pointers are NULL or valid for what the setting says.
    unsafe fn made(&self) -> Result<Knots, i32> {
        let (channels, count) = (usize::from(self.channels), self.knot_count as usize);
        if channels == 0 || channels > MILLIGLOW_CHANNELS {
            return Err(MILLIGLOW_ERROR_CHANNELS);
        }
        if count == 0 || count > MILLIGLOW_MOST_KNOTS {
            return Err(MILLIGLOW_ERROR_KNOTS);
        }
        // SAFETY: the caller's promise.
        let (levels, given) = unsafe {
            (
                memory::slice(self.levels, count)?,
                memory::slice(self.shares, count * channels)?,
            )
        };
        let none = (Level::OFF, Recipe::new([Share::NONE; MILLIGLOW_CHANNELS]));
        let mut recipes = [none; MILLIGLOW_MOST_KNOTS];
        let knots = recipes.iter_mut().zip(levels);
        for ((recipe, &level), shares) in knots.zip(given.chunks_exact(channels)) {
            *recipe = (Level::from_bits(level), memory::recipe(shares));
        }
        let core = milliglow::Knots::of_first(recipes, count).map_err(code)?;
        Ok(Knots {
            core,
            channels: self.channels,
        })
    }
}

/// Makes a recipe through knots in memory of at least MILLIGLOW_KNOTS_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `knots`.
/// It divides: for set-up. The memory must not be touched while a luminaire follows the knots. For any context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_knots_init(
    memory: *mut u8,
    bytes: usize,
    setting: *const KnotsSetting,
    knots: *mut *mut Knots,
) -> i32 {
    // SAFETY: valid by the header.
    status(unsafe { init(memory, bytes, setting, knots) })
}

unsafe fn init(
    memory: *mut u8,
    bytes: usize,
    setting: *const KnotsSetting,
    knots: *mut *mut Knots,
) -> Result<(), i32> {
    // SAFETY: valid by the header, or NULL.
    unsafe {
        let place = memory::place(memory, bytes)?;
        let (setting, handle) = (memory::shared(setting)?, memory::exclusive(knots)?);
        memory::put(place, setting.made()?, handle);
    }
    Ok(())
}

/// Sends the luminaire from where it is to a Level, as milliglow_fade_to does, and to the shares that the knots give there; from then on
/// the shares follow the Level in every control step. The knots must outlive that. It divides: not for the tick interrupt.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_fade_along(
    luminaire: *mut Luminaire,
    level: u16,
    knots: *const Knots,
    control_steps: u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(
        unsafe { memory::exclusive(luminaire) }.and_then(|luminaire| {
            // SAFETY: the same.
            let knots: &'static Knots = unsafe { memory::shared(knots) }?;
            if usize::from(knots.channels) != luminaire.channels() {
                return Err(MILLIGLOW_ERROR_CHANNELS);
            }
            let (level, pace) = (Level::from_bits(level), Pace::new(control_steps));
            luminaire
                .core
                .fade_along(level, knots.core.borrowed(), pace);
            Ok(())
        }),
    )
}
