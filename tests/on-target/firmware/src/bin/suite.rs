//! The suite on the microcontroller, a line a hash: as the program of `tests/on-target/suite` prints it on the PC.
#![no_std]
#![no_main]

use milliglow_firmware::say;

#[cortex_m_rt::entry]
fn main() -> ! {
    milliglow_suite::run(&mut |name, hash| {
        say::text(name);
        say::text(" ");
        say::hexadecimal(hash);
    });
    say::done()
}
