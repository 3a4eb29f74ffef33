//! Lines out: by feature `emulator` to whoever holds the debug port, by feature `hardware` to a place in RAM.

#[cfg(all(feature = "emulator", feature = "hardware"))]
compile_error!(
    "features `emulator` and `hardware` exclude each other: for a board, build with --no-default-features --features hardware"
);
#[cfg(not(any(feature = "emulator", feature = "hardware")))]
compile_error!(
    "one of the features `emulator` (the default) and `hardware` says where the lines go: enable one"
);

#[cfg_attr(feature = "emulator", path = "emulator.rs")]
#[cfg_attr(not(feature = "emulator"), path = "hardware.rs")]
mod channel;

pub use channel::done;

/// Text as it is.
pub fn text(text: &str) {
    text.bytes().for_each(channel::put);
}

/// Eight hexadecimal digits and the end of the line.
pub fn hexadecimal(number: u32) {
    for place in (0..8).rev() {
        let digit = (number >> (4 * place) & 0xF) as u8;
        channel::put(if digit < 10 {
            b'0' + digit
        } else {
            b'a' - 10 + digit
        });
    }
    channel::put(b'\n');
}
