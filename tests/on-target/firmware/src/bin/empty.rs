//! What a firmware takes that does nothing: vectors, start-up and default handlers.
#![no_std]
#![no_main]

use milliglow_firmware as _;

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        core::hint::black_box(());
    }
}
