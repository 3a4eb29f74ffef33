//! A firmware that can panic, to see that it does not link.
#![no_std]
#![no_main]

use core::hint::black_box;

use milliglow_firmware as _;

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        black_box([1, 2, 3][black_box(3)]);
    }
}
