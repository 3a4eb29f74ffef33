//! Lines out: to the terminal of a host, or by semihosting to whoever holds the debug port of a microcontroller.

/// `what`, a space, eight hexadecimal digits and the end of the line.
pub fn say(what: &str, number: u32) {
    what.bytes().for_each(put);
    put(b' ');
    for place in (0..8).rev() {
        let digit = (number >> (4 * place) & 0xF) as u8;
        put(if digit < 10 {
            b'0' + digit
        } else {
            b'a' - 10 + digit
        });
    }
    put(b'\n');
}

#[cfg(target_os = "none")]
use semihosting::sys::arm_compat::sys_writec as put;

#[cfg(not(target_os = "none"))]
extern crate std;

#[cfg(not(target_os = "none"))]
fn put(byte: u8) {
    std::print!("{}", char::from(byte));
}

#[cfg(target_os = "none")]
mod target {
    #[panic_handler]
    fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
        semihosting::process::exit(1)
    }
}
