//! A luminaire in memory of the caller's.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::curve::Curve;
use milliglow::luminaire::{self as core_luminaire, Luminaire as Core};

use crate::configuration::{Configuration, MILLIGLOW_CHANNELS};
use crate::error::{MILLIGLOW_ERROR_CHANNELS, code, status};
use crate::memory;
use crate::table::Table;

/// A running luminaire.
pub struct Luminaire {
    pub(crate) core: Core<'static, MILLIGLOW_CHANNELS>,
    pub(crate) curve: Curve,
    channels: u8,
}

/// As many bytes as the header says.
const _: () = {
    let pointer = size_of::<*const Table>();
    assert!(size_of::<Luminaire>() <= 96 + 4 * pointer + 16 * (40 + 4 * pointer));
    assert!(align_of::<Luminaire>() <= pointer);
};

impl Luminaire {
    pub(crate) fn channels(&self) -> usize {
        self.channels.into()
    }
}

/// Makes a luminaire in the dark, in memory of at least MILLIGLOW_LUMINAIRE_BYTES (1008 with pointers of 32 bits), aligned to
/// MILLIGLOW_ALIGNMENT; its handle goes to `luminaire`. The configuration is copied, its tables are not.
///
/// A luminaire of few channels takes the RAM, and in a control step nearly the cycles, of one of 16. For any context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_init(
    memory: *mut u8,
    bytes: usize,
    configuration: *const Configuration,
    luminaire: *mut *mut Luminaire,
) -> i32 {
    // SAFETY: valid by the header.
    status(unsafe { init(memory, bytes, configuration, luminaire) })
}

unsafe fn init(
    memory: *mut u8,
    bytes: usize,
    configuration: *const Configuration,
    luminaire: *mut *mut Luminaire,
) -> Result<(), i32> {
    // SAFETY: valid by the header, or NULL.
    unsafe {
        let place = memory::place(memory, bytes)?;
        let configuration = memory::shared(configuration)?;
        let handle = memory::exclusive(luminaire)?;
        memory::put(place, made(configuration)?, handle);
    }
    Ok(())
}

/// # Safety
/// The configuration's tables are NULL or valid for as long as the luminaire is.
unsafe fn made(configuration: &Configuration) -> Result<Luminaire, i32> {
    let channels = usize::from(configuration.channels);
    if channels == 0 || channels > MILLIGLOW_CHANNELS {
        return Err(MILLIGLOW_ERROR_CHANNELS);
    }
    let mut whole: core_luminaire::Configuration<'static, _> = configuration.made()?;
    let made = whole.modulation.iter_mut().zip(&mut whole.operating);
    let given = configuration.modulation.iter().zip(&configuration.tables);
    for ((modulation, operating), (kind, &table)) in made.zip(given).take(channels) {
        *modulation = kind.made()?;
        // SAFETY: the caller's promise; NULL keeps the plain table.
        if let Ok(table) = unsafe { memory::shared(table) } {
            *operating = &table.0;
        }
    }
    Ok(Luminaire {
        core: Core::of_first(&whole, channels).map_err(code)?,
        curve: whole.curve,
        channels: configuration.channels,
    })
}

/// The number of channels; 0 for NULL. For any context: it never changes.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_channels(luminaire: *const Luminaire) -> u32 {
    // SAFETY: valid by the header, or NULL.
    unsafe { memory::shared(luminaire) }.map_or(0, |luminaire| luminaire.channels.into())
}
