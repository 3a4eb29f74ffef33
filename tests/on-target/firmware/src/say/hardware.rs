//! Into RAM, from where any debugger reads it: no crate of a vendor, no pin, no protocol.

use core::sync::atomic::{AtomicU8, AtomicU32, Ordering};

/// Bytes of text.
const ROOM: usize = 4096;

/// What was said, as `results.gdb` reads it.
#[repr(C)]
struct Results {
    state: AtomicU32,
    length: AtomicU32,
    text: [AtomicU8; ROOM],
}

/// Values of `state`; 0 while the suite runs.
const DONE: u32 = 1;
const NO_ROOM: u32 = 2;

/// `unsafe(no_mangle)`: the debugger finds it by this name, which no other symbol of the firmware has.
#[unsafe(no_mangle)]
static RESULTS: Results = Results {
    state: AtomicU32::new(0),
    length: AtomicU32::new(0),
    text: [const { AtomicU8::new(0) }; ROOM],
};

pub(super) fn put(byte: u8) {
    let length = RESULTS.length.load(Ordering::Relaxed);
    match RESULTS.text.get(length as usize) {
        Some(place) => {
            place.store(byte, Ordering::Relaxed);
            RESULTS
                .length
                .store(length.wrapping_add(1), Ordering::Relaxed);
        }
        None => RESULTS.state.store(NO_ROOM, Ordering::Relaxed),
    }
}

/// The end of the run.
pub fn done() -> ! {
    if RESULTS.state.load(Ordering::Relaxed) != NO_ROOM {
        RESULTS.state.store(DONE, Ordering::Release);
    }
    results_are_complete()
}

/// A debugger's breakpoint stands here. `unsafe(no_mangle)`: as for the results.
#[unsafe(no_mangle)]
#[inline(never)]
extern "C" fn results_are_complete() -> ! {
    loop {
        core::hint::spin_loop();
    }
}
