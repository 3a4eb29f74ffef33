//! Fades through recipes on the way.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::{Level, Recipe, Share};

use crate::configuration::MILLIGLOW_CHANNELS;
use crate::error::{MILLIGLOW_ERROR_CHANNELS, MILLIGLOW_ERROR_PATH, code, status};
use crate::luminaire::Luminaire;
use crate::memory;

/// The most recipes of a path, its last one included.
pub const MILLIGLOW_MOST_LEGS: usize = 8;

/// Recipes on the way, each reached after control steps of its own.
pub struct Path {
    core: milliglow::Path<MILLIGLOW_CHANNELS, MILLIGLOW_MOST_LEGS>,
    channels: u8,
}

/// As many bytes as the header says.
const _: () = assert!(size_of::<Path>() <= 2208 && align_of::<Path>() <= align_of::<usize>());

/// What a path is made of.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct PathSetting {
    /// The control steps of the way to each recipe, at least 1; they are copied.
    pub leg_steps: *const u32,
    /// The shares of each recipe in units of 2^-32, one a channel: those of the first recipe, then those of the second; they are copied.
    pub leg_shares: *const u32,
    /// Recipes, 1 to 8.
    pub leg_count: u32,
    /// Channels of the luminaire, 1 to 16.
    pub channels: u8,
}

impl PathSetting {
    /// # Safety
    /// Pointers are NULL or valid for what the setting says.
    unsafe fn made(&self) -> Result<Path, i32> {
        let (channels, count) = (usize::from(self.channels), self.leg_count as usize);
        if channels == 0 || channels > MILLIGLOW_CHANNELS {
            return Err(MILLIGLOW_ERROR_CHANNELS);
        }
        if count > MILLIGLOW_MOST_LEGS {
            return Err(MILLIGLOW_ERROR_PATH);
        }
        // SAFETY: the caller's promise.
        let (steps, given) = unsafe {
            (
                memory::slice(self.leg_steps, count)?,
                memory::slice(self.leg_shares, count * channels)?,
            )
        };
        let none = Recipe::new([Share::NONE; MILLIGLOW_CHANNELS]);
        let mut legs = [(none, 0); MILLIGLOW_MOST_LEGS];
        for ((leg, &steps), shares) in legs.iter_mut().zip(steps).zip(given.chunks_exact(channels))
        {
            *leg = (memory::recipe(shares), steps);
        }
        let legs = legs.get(..count).ok_or(MILLIGLOW_ERROR_PATH)?;
        let core = milliglow::Path::new(legs).map_err(code)?;
        Ok(Path {
            core,
            channels: self.channels,
        })
    }
}

/// Makes a path in memory of at least MILLIGLOW_PATH_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `path`.
/// It divides: for set-up. The memory must not be touched while a luminaire follows the path. For any context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_path_init(
    memory: *mut u8,
    bytes: usize,
    setting: *const PathSetting,
    path: *mut *mut Path,
) -> i32 {
    // SAFETY: valid by the header.
    status(unsafe { init(memory, bytes, setting, path) })
}

unsafe fn init(
    memory: *mut u8,
    bytes: usize,
    setting: *const PathSetting,
    path: *mut *mut Path,
) -> Result<(), i32> {
    // SAFETY: valid by the header, or NULL.
    unsafe {
        let place = memory::place(memory, bytes)?;
        let (setting, handle) = (memory::shared(setting)?, memory::exclusive(path)?);
        memory::put(place, setting.made()?, handle);
    }
    Ok(())
}

/// Sends the luminaire from where it is to a Level, straight all the way, and through the recipes of a path to its last one; all
/// arrive together. The path must outlive that. Not for the tick interrupt.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_fade_through(
    luminaire: *mut Luminaire,
    level: u16,
    path: *const Path,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(
        unsafe { memory::exclusive(luminaire) }.and_then(|luminaire| {
            // SAFETY: the same.
            let path: &'static Path = unsafe { memory::shared(path) }?;
            if usize::from(path.channels) != luminaire.channels() {
                return Err(MILLIGLOW_ERROR_CHANNELS);
            }
            luminaire
                .core
                .fade_through(Level::from_bits(level), &path.core);
            Ok(())
        }),
    )
}
