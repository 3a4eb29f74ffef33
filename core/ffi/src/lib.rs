//! milliglow for C: see `include/milliglow.h`, which is made of the comments here.
//!
//! One luminaire of up to 16 channels for all, so that code does not multiply with the number of channels: it is
//! `milliglow::luminaire::Luminaire<16>` whose further channels stay dark. A C program gets the bits of a `Luminaire` of its own channels.
//!
//! `unsafe` stands only in `memory` and where a function hands its pointers to it; the reason is always the same: the header asks the
//! caller for valid pointers, and NULL, size and alignment are checked here.
#![no_std]
#![deny(missing_docs, unsafe_op_in_unsafe_fn)]
#![allow(clippy::missing_safety_doc)] // the header's head states it for all functions

#[cfg(feature = "std")]
extern crate std;

pub mod configuration;
pub mod error;
pub mod flux;
pub mod knots;
pub mod levels;
pub mod luminaire;
mod memory;
pub mod movement;
pub mod path;
pub mod streams;
pub mod table;
pub mod version;

/// What a panic calls and nothing defines: linking fails if one can be reached.
#[cfg(feature = "panic-handler")]
mod panic_handler {
    #![expect(unsafe_code, reason = "a function of another object is declared")]

    unsafe extern "C" {
        safe fn milliglow_can_panic() -> !;
    }

    #[panic_handler]
    fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
        milliglow_can_panic()
    }
}
