//! What a firmware would do with general-purpose crates instead, to be called by name like the probe.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use idsp::Dsm;
use milliglow_firmware::kept;

#[allow(dead_code, reason = "the benches use more of it")]
#[path = "../../../../../benches/src/peers.rs"]
mod peers;

kept! {
    fn peer_libm_exp2f(level: u32) -> u32 { peers::to_bits(peers::libm_curve(level as u16)) }
    fn peer_micromath_exp(level: u32) -> u32 { peers::to_bits(peers::micromath_curve(level as u16)) }
    fn peer_cordic_exp(level: u32) -> u32 { peers::cordic_curve(level as u16) }
    fn peer_fixed_product(a: u32, b: u32) -> u32 { peers::fixed_product(a, b) }
    fn peer_idsp_new(at: &mut MaybeUninit<Dsm<1>>) { at.write(Dsm::default()); }
    fn peer_idsp_word(modulator: &mut Dsm<1>, density: u32) -> u32 { peers::idsp_word(modulator, density) }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        keep();
    }
}
