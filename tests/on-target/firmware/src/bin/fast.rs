//! The fast ways, to be called by name: `tests/m0` counts what they cost. See `parts` for how.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::density::{Density, FirstOrder, Held};
use milliglow_firmware::kept;

/// A channel of the fast profile.
struct Channel {
    density: Density,
    modulator: FirstOrder,
    held: Held,
}

impl Channel {
    #[inline(always)]
    fn fill(&mut self, previous: &[u32], words: &mut [u32]) {
        self.held.fill(&mut self.modulator, self.density, previous, words);
    }
}

kept! {
    fn size_of_channel() -> usize { size_of::<Channel>() }
    fn channel_new(at: &mut MaybeUninit<Channel>, density: u32, phase: u32) {
        at.write(Channel { density: Density::from_bits(density), modulator: FirstOrder::new(phase), held: Held::new() });
    }
    fn channel_set(channel: &mut Channel, density: u32) { channel.density = Density::from_bits(density); }
    fn held_fill_32(channel: &mut Channel, previous: &[u32; 32], words: &mut [u32; 32]) { channel.fill(previous, words); }
    fn held_fill_64(channel: &mut Channel, previous: &[u32; 64], words: &mut [u32; 64]) { channel.fill(previous, words); }
    fn held_fill_128(channel: &mut Channel, previous: &[u32; 128], words: &mut [u32; 128]) { channel.fill(previous, words); }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        keep();
    }
}
