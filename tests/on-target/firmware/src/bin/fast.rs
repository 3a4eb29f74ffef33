//! The fast ways, to be called by name: `tests/m0` counts what they cost. See `parts` for how.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, FirstOrder, Held, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::output::port_ticks;
use milliglow::{Level, Recipe, Share, constant};
use milliglow_firmware::kept;
use milliglow_firmware::stretched::STRETCHED;

/// A channel of the fast profile.
struct Channel {
    density: Density,
    modulator: FirstOrder,
    held: Held,
}

impl Channel {
    #[inline(always)]
    fn fill(&mut self, previous: &[u32], words: &mut [u32]) {
        self.held
            .fill(&mut self.modulator, self.density, previous, words);
    }
}

mod channel {
    use super::*;

    kept! {
        fn size_of_channel() -> usize { size_of::<Channel>() }
        fn channel_new(at: &mut MaybeUninit<Channel>, density: u32, phase: u32) {
            at.write(Channel { density: Density::from_bits(density), modulator: FirstOrder::new(phase), held: Held::new() });
        }
        fn channel_set(channel: &mut Channel, density: u32) { channel.density = Density::from_bits(density); }
        fn plain_fill_32(channel: &mut Channel, words: &mut [u32; 32]) { channel.modulator.fill(channel.density, words); }
        fn held_fill_32(channel: &mut Channel, previous: &[u32; 32], words: &mut [u32; 32]) { channel.fill(previous, words); }
        fn held_fill_64(channel: &mut Channel, previous: &[u32; 64], words: &mut [u32; 64]) { channel.fill(previous, words); }
        fn held_fill_128(channel: &mut Channel, previous: &[u32; 128], words: &mut [u32; 128]) { channel.fill(previous, words); }
    }
}

/// A luminaire of N channels on a port, 1024 ticks at a time, in a module of its own.
macro_rules! port {
    ($module:ident, $n:literal, $word:ty, $words:literal, $size:ident, $new:ident, $set:ident, $fill:ident, $turn:ident) => {
        mod $module {
            use super::*;

            type OnPort = (Luminaire<'static, $n>, [Held; $n]);

            kept! {
                fn $size() -> usize { size_of::<OnPort>() }
                fn $new(at: &mut MaybeUninit<OnPort>, seed: u32) -> bool {
                    let made = Luminaire::new(&Configuration::new(Curve::Linear, [Modulation::FirstOrder; $n], seed));
                    made.map(|luminaire| at.write((luminaire, [const { Held::new() }; $n]))).is_ok()
                }
                fn $set(on_port: &mut OnPort, densities: &[u32; $n]) {
                    let recipe = Recipe::new(densities.map(Share::from_bits));
                    on_port.0.fade_to(&Target { level: Level::FULL, recipe }, Pace::AT_ONCE);
                    on_port.0.control_step();
                }
                fn $fill(on_port: &mut OnPort, words: &mut [u32; $words]) {
                    on_port.0.fill_port::<$word>(&mut on_port.1, words);
                }
                fn $turn(channels: &[[u32; 32]; $n], ticks: &mut [[$word; 32]; 32]) {
                    port_ticks(channels.each_ref().map(<[u32; 32]>::as_slice), ticks);
                }
            }
        }
    };
}

port! { four, 4, u8, 256, size_of_port_4, port_new_4, port_set_4, fill_port_4, port_ticks_4 }
port! { nine, 9, u16, 512, size_of_port_9, port_new_9, port_set_9, fill_port_9, port_ticks_9 }
port! { sixteen, 16, u16, 512, size_of_port_16, port_new_16, port_set_16, fill_port_16, port_ticks_16 }

const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 0)));

/// One channel that fades, with the words of a control step at 3 MHz and 1 kHz.
mod fade {
    use super::*;

    const WORDS: usize = 94;
    type Fading = (Luminaire<'static, 1>, [Held; 1]);

    kept! {
        fn size_of_fading() -> usize { size_of::<Fading>() }
        fn fading_new(at: &mut MaybeUninit<Fading>, seed: u32) -> bool {
            let plain = Configuration::new(CURVE, [Modulation::FirstOrder], seed);
            let made = Luminaire::new(&Configuration { operating: [&STRETCHED], ..plain });
            made.map(|luminaire| at.write((luminaire, [const { Held::new() }]))).is_ok()
        }
        fn fading_to(fading: &mut Fading, level: u32, steps: u32) {
            let target = Target { level: Level::from_bits(level as u16), recipe: Recipe::new([Share::FULL]) };
            fading.0.fade_to(&target, Pace::new(steps));
        }
        fn fading_step(fading: &mut Fading) { fading.0.control_step(); }
        fn fading_fill(fading: &mut Fading, words: &mut [u32; WORDS]) { fading.0.fill([words]); }
        fn fading_fill_held(fading: &mut Fading, previous: &[u32; WORDS], words: &mut [u32; WORDS]) {
            fading.0.fill_held(&mut fading.1, [previous], [words]);
        }
    }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        channel::keep();
        fade::keep();
        four::keep();
        nine::keep();
        sixteen::keep();
    }
}
