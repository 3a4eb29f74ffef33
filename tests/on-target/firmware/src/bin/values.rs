//! Functions of one value in a loop over sixteen, to be called by name: `tests/m0` counts what a value costs where no call frame is around it.
//!
//! See `parts` for how.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::curve::Exponential;
use milliglow::{Level, Light, Share, constant};
use milliglow_firmware::kept;

kept! {
    fn values_curve_new(at: &mut MaybeUninit<Exponential>) { at.write(constant!(Exponential::new(1_000, 2_048))); }
    fn values_curve_16(curve: &Exponential, values: &mut [u32; 16]) {
        for value in values {
            *value = curve.light(Level::from_bits(*value as u16)).to_bits();
        }
    }
    fn values_share_16(light: u32, values: &mut [u32; 16]) {
        for value in values {
            *value = Share::from_bits(*value).of(Light::from_bits(light)).to_bits();
        }
    }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        keep();
    }
}
