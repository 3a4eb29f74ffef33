//! The hot functions of the core, to be called by name: `tests/m0` counts what they cost.
//!
//! Arguments that are references point to RAM that the caller has set aside; `size_of_*` says how much.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::curve::{ControlCurve, ControlLevel, Curve, Exponential};
use milliglow::density::{
    Density, DitherWidth, Dithered, FirstOrder, Lfsr32, Modulation, SecondOrder,
};
use milliglow::fade::{Fade, Pace};
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Light, Recipe, Share, constant};
use milliglow_firmware::kept;

const PLAIN: Exponential = constant!(Exponential::new(1_000, 0));
const WITH_TAIL: Exponential = constant!(Exponential::new(1_000, 2_048));

mod parts {
    use super::*;

    fn level(bits: u32) -> Level {
        Level::from_bits(bits as u16)
    }

    kept! {
        /// Nothing: what a call costs.
        fn nothing() {}
        fn curve_exponential(bits: u32) -> u32 { PLAIN.light(level(bits)).to_bits() }
        fn curve_tail(bits: u32) -> u32 { WITH_TAIL.light(level(bits)).to_bits() }
        fn curve_lightness(bits: u32) -> u32 { Curve::Lightness.light(level(bits)).to_bits() }
        fn curve_linear(bits: u32) -> u32 { Curve::Linear.light(level(bits)).to_bits() }
        fn curve_control_level(number: u32) -> u32 {
            let level = ControlLevel::new(number as u8);
            level.map_or(0, |level| ControlCurve::Logarithmic.light(level).to_bits())
        }
        fn share_of_light(share: u32, light: u32) -> u32 {
            Share::from_bits(share).of(Light::from_bits(light)).to_bits()
        }
        fn pace_new(pace: &mut MaybeUninit<Pace>, steps: u32) { pace.write(Pace::new(steps)); }

        fn first_order_new(at: &mut MaybeUninit<FirstOrder>, phase: u32) { at.write(FirstOrder::new(phase)); }
        fn first_order_word(state: &mut FirstOrder, density: u32) -> u32 {
            state.next_word(Density::from_bits(density))
        }
        fn first_order_fill_32(state: &mut FirstOrder, density: u32, words: &mut [u32; 32]) {
            state.fill(Density::from_bits(density), words);
        }
        fn first_order_fill_64(state: &mut FirstOrder, density: u32, words: &mut [u32; 64]) {
            state.fill(Density::from_bits(density), words);
        }
        fn first_order_fill_128(state: &mut FirstOrder, density: u32, words: &mut [u32; 128]) {
            state.fill(Density::from_bits(density), words);
        }
        fn second_order_new(at: &mut MaybeUninit<SecondOrder>, phase: u32) { at.write(SecondOrder::new(phase)); }
        fn second_order_fill_32(state: &mut SecondOrder, density: u32, words: &mut [u32; 32]) {
            state.fill(Density::from_bits(density), words);
        }
        fn dithered_new(at: &mut MaybeUninit<Dithered>, phase: u32) {
            at.write(Dithered::new(DitherWidth::ONE_STEP, phase));
        }
        fn dithered_fill_32(state: &mut Dithered, density: u32, words: &mut [u32; 32], noise: &mut Lfsr32) {
            state.fill(Density::from_bits(density), words, noise);
        }

        fn size_of_fade() -> usize { size_of::<Fade<16>>() }
        fn fade_new(at: &mut MaybeUninit<Fade<16>>, values: &[u32; 16]) { at.write(Fade::at(*values)); }
        fn fade_start_16(fade: &mut Fade<16>, targets: &[u32; 16], steps: u32) {
            fade.start(targets, Pace::new(steps));
        }
        fn fade_step_16(fade: &mut Fade<16>) { fade.step(); }
    }
}

/// A luminaire of N channels, in a module of its own.
macro_rules! luminaire {
    ($module:ident, $n:literal, $size:ident, $target_size:ident, $new:ident, $target:ident, $retarget:ident,
     $control:ident, $fill:ident, $tick:ident) => {
        mod $module {
            use super::*;

            /// Words of a control step at 3 MHz and 1 kHz, whole ones.
            const WORDS: usize = 94;

            fn configuration(modulation: Modulation, seed: u32) -> Configuration<$n> {
                let curve = Curve::Exponential(WITH_TAIL);
                Configuration { curve, modulation: [modulation; $n], seed }
            }

            kept! {
                fn $size() -> usize { size_of::<Luminaire<$n>>() }
                fn $target_size() -> usize { size_of::<Target<$n>>() }
                fn $new(at: &mut MaybeUninit<Luminaire<$n>>, seed: u32) -> bool {
                    let luminaire = Luminaire::new(&configuration(Modulation::FirstOrder, seed));
                    luminaire.map(|luminaire| at.write(luminaire)).is_ok()
                }
                fn $target(at: &mut MaybeUninit<Target<$n>>, level: u32, shares: &[u32; $n]) {
                    let (level, recipe) = (Level::from_bits(level as u16), Recipe::new(shares.map(Share::from_bits)));
                    at.write(Target { level, recipe });
                }
                fn $retarget(luminaire: &mut Luminaire<$n>, target: &Target<$n>, steps: u32) {
                    luminaire.fade_to(target, Pace::new(steps));
                }
                fn $control(luminaire: &mut Luminaire<$n>) { luminaire.control_step(); }
                fn $fill(luminaire: &mut Luminaire<$n>, words: &mut [[u32; WORDS]; $n]) {
                    luminaire.fill(words.each_mut().map(<[u32; WORDS]>::as_mut_slice));
                }
                fn $tick(luminaire: &mut Luminaire<$n>, words: &mut [[u32; WORDS]; $n]) {
                    luminaire.control_step();
                    luminaire.fill(words.each_mut().map(<[u32; WORDS]>::as_mut_slice));
                }
            }
        }
    };
}

luminaire!(
    one,
    1,
    size_of_1,
    size_of_target_1,
    new_1,
    target_1,
    retarget_1,
    control_1,
    fill_1,
    tick_1
);
luminaire!(
    two,
    2,
    size_of_2,
    size_of_target_2,
    new_2,
    target_2,
    retarget_2,
    control_2,
    fill_2,
    tick_2
);
luminaire!(
    five,
    5,
    size_of_5,
    size_of_target_5,
    new_5,
    target_5,
    retarget_5,
    control_5,
    fill_5,
    tick_5
);
luminaire!(
    nine,
    9,
    size_of_9,
    size_of_target_9,
    new_9,
    target_9,
    retarget_9,
    control_9,
    fill_9,
    tick_9
);
luminaire!(
    sixteen,
    16,
    size_of_16,
    size_of_target_16,
    new_16,
    target_16,
    retarget_16,
    control_16,
    fill_16,
    tick_16
);

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        parts::keep();
        one::keep();
        two::keep();
        five::keep();
        nine::keep();
        sixteen::keep();
    }
}
