//! The streams, as words a channel or as words of a port.
#![expect(unsafe_code, reason = "pointers come from C")]

use milliglow::output::{PortWord, port_words, set_reset};

use crate::configuration::MILLIGLOW_CHANNELS;
use crate::error::{MILLIGLOW_ERROR_CHANNELS, MILLIGLOW_ERROR_NULL, status};
use crate::luminaire::Luminaire;
use crate::memory;

/// Writes the next ticks, 32 a word, the earliest in the most significant bit: `buffers` holds a pointer a channel, each to `words`
/// words that overlap with no other's. No division; time in proportion to channels and words.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_fill(
    luminaire: *mut Luminaire,
    buffers: *const *mut u32,
    words: usize,
) -> i32 {
    // SAFETY: valid by the header, or NULL; there is a pointer a channel.
    status(
        unsafe { memory::exclusive(luminaire) }.and_then(|luminaire| {
            let pointers = unsafe { memory::slice(buffers, luminaire.channels()) }?;
            if pointers.iter().any(|pointer| pointer.is_null()) {
                return Err(MILLIGLOW_ERROR_NULL);
            }
            let mut slices: [&mut [u32]; MILLIGLOW_CHANNELS] = Default::default();
            for (slice, &pointer) in slices.iter_mut().zip(pointers) {
                // SAFETY: valid for so many words and apart from the others by the header.
                *slice = unsafe { memory::slice_mut(pointer, words) }?;
            }
            luminaire.core.fill(slices);
            Ok(())
        }),
    )
}

/// Writes 32 ticks a block as bytes of a port, a byte a tick, the earliest first: bit k is channel k. For up to 8 channels.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_port_words_8(
    luminaire: *mut Luminaire,
    ticks: *mut u8,
    blocks: usize,
) -> i32 {
    let each = |words: &[u32; 16], _, block: &mut [u8; 32]| {
        port_words(first_8(words), block);
    };
    // SAFETY: valid by the header, or NULL.
    status(unsafe { port(luminaire, ticks, blocks, 8, each) })
}

/// The same in half words, for up to 16 channels.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_port_words_16(
    luminaire: *mut Luminaire,
    ticks: *mut u16,
    blocks: usize,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { port(luminaire, ticks, blocks, 16, of_any) })
}

/// The same in words, for up to 16 channels.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_port_words_32(
    luminaire: *mut Luminaire,
    ticks: *mut u32,
    blocks: usize,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { port(luminaire, ticks, blocks, 16, of_any) })
}

/// The same for a register that sets and resets pins: a one in the lower half sets pin k, one in the upper half resets it; pins of no
/// channel are left as they are.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_set_reset_words(
    luminaire: *mut Luminaire,
    ticks: *mut u32,
    blocks: usize,
) -> i32 {
    let each = |words: &[u32; 16], channels: usize, block: &mut [u32; 32]| {
        of_any(words, channels, block);
        let pins = ((1_u32 << (channels & 31)) - 1) as u16;
        for tick in block {
            *tick = set_reset(*tick as u16, pins);
        }
    };
    // SAFETY: valid by the header, or NULL.
    status(unsafe { port(luminaire, ticks, blocks, 16, each) })
}

/// # Safety
/// `luminaire` is NULL or valid and the caller's own, `ticks` NULL or valid for 32 values a block.
unsafe fn port<W: PortWord>(
    luminaire: *mut Luminaire,
    ticks: *mut W,
    blocks: usize,
    most: usize,
    each: impl Fn(&[u32; MILLIGLOW_CHANNELS], usize, &mut [W; 32]),
) -> Result<(), i32> {
    // SAFETY: the caller's promise.
    let luminaire = unsafe { memory::exclusive(luminaire) }?;
    let ticks = unsafe { memory::slice_mut(ticks.cast::<[W; 32]>(), blocks) }?;
    if luminaire.channels() > most {
        return Err(MILLIGLOW_ERROR_CHANNELS);
    }
    for block in ticks {
        each(&luminaire.core.next_words(), luminaire.channels(), block);
    }
    Ok(())
}

/// Half the work where eight channels do.
fn of_any<W: Wide>(words: &[u32; MILLIGLOW_CHANNELS], channels: usize, block: &mut [W; 32]) {
    if channels <= 8 {
        port_words(first_8(words), block);
    } else {
        port_words(words, block);
    }
}

/// Words of a port that hold all channels.
trait Wide: PortWord {}
impl Wide for u16 {}
impl Wide for u32 {}

fn first_8(words: &[u32; MILLIGLOW_CHANNELS]) -> &[u32; 8] {
    words.first_chunk().unwrap_or(&[0; 8])
}
