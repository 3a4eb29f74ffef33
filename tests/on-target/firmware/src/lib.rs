//! What the firmwares share. A firmware that uses this library does not link if any panic is left in it.
#![no_std]

mod keep;
mod minimal;
pub mod say;
pub mod stretched;

use core::panic::PanicInfo;

unsafe extern "C" {
    /// Defined nowhere: a firmware from which a panic can be reached does not link.
    safe fn this_firmware_can_panic() -> !;
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    this_firmware_can_panic()
}
