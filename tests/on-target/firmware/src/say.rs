//! Lines to whoever holds the debug port: the emulator, or a debugger on hardware.

use semihosting::sys::arm_compat::sys_writec;

/// Text as it is.
pub fn text(text: &str) {
    text.bytes().for_each(sys_writec);
}

/// Eight hexadecimal digits and the end of the line.
pub fn hexadecimal(number: u32) {
    for place in (0..8).rev() {
        let digit = (number >> (4 * place) & 0xF) as u8;
        sys_writec(if digit < 10 {
            b'0' + digit
        } else {
            b'a' - 10 + digit
        });
    }
    sys_writec(b'\n');
}

/// The end of the run.
pub fn done() -> ! {
    semihosting::process::exit(0)
}
