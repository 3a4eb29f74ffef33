//! The functions that luminaires are made of, to be called by name: `tests/m0` counts what they cost.
//!
//! Each is the only one that calls its function of the core, so that the compiler makes one of both. Arguments that are
//! references point to RAM that the caller has set aside.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::curve::Exponential;
use milliglow::density::{
    Decision, Density, DitherWidth, Dithered, Edge, FirstOrder, Lfsr32, SecondOrder, Stretch,
};
use milliglow::fade::{Fade, Pace};
use milliglow::requantise::{Order, Requantiser, TimerPwm};
use milliglow::{Level, Light, Share, constant};
use milliglow_firmware::kept;

/// Ticks in the lowest five bits, what an edge takes in all others.
fn decision(word: u32) -> Decision {
    Decision {
        stretch: Stretch::from_ticks(word & 31).unwrap_or_default(),
        edge: Edge::from_bits((word & !31).cast_signed()).unwrap_or_default(),
    }
}

const TWELVE_BITS: [TimerPwm; 2] = [
    constant!(TimerPwm::new(12, Order::First, None)),
    constant!(TimerPwm::new(
        12,
        Order::Second,
        Some(DitherWidth::ONE_STEP)
    )),
];

kept! {
    fn curve_new(at: &mut MaybeUninit<Exponential>) { at.write(constant!(Exponential::new(1_000, 2_048))); }
    fn curve_exponential(curve: &Exponential, bits: u32) -> u32 { curve.light(Level::from_bits(bits as u16)).to_bits() }
    fn share_of_light(share: u32, light: u32) -> u32 {
        Share::from_bits(share).of(Light::from_bits(light)).to_bits()
    }
    fn pace_new(pace: &mut MaybeUninit<Pace>, steps: u32) { pace.write(Pace::new(steps)); }

    fn first_order_new(at: &mut MaybeUninit<FirstOrder>, phase: u32) { at.write(FirstOrder::new(phase)); }
    fn first_order_word(state: &mut FirstOrder, density: u32) -> u32 {
        state.next_word(Density::from_bits(density))
    }
    fn first_order_fill(state: &mut FirstOrder, density: u32, words: &mut [u32; 128], count: usize) {
        state.fill(Density::from_bits(density), words.get_mut(..count).unwrap_or_default());
    }
    fn first_order_fill_as(state: &mut FirstOrder, density: u32, words: &mut [u32; 32], as_word: u32) {
        state.fill_as(Density::from_bits(density), decision(as_word), words);
    }
    fn second_order_new(at: &mut MaybeUninit<SecondOrder>, phase: u32) { at.write(SecondOrder::new(phase)); }
    fn second_order_fill_32(state: &mut SecondOrder, density: u32, words: &mut [u32; 32]) {
        state.fill(Density::from_bits(density), words);
    }
    fn second_order_fill_as(state: &mut SecondOrder, density: u32, words: &mut [u32; 32], as_word: u32) {
        state.fill_as(Density::from_bits(density), decision(as_word), words);
    }
    fn dithered_new(at: &mut MaybeUninit<Dithered>, phase: u32) {
        at.write(Dithered::new(DitherWidth::ONE_STEP, phase));
    }
    fn dithered_fill_32(state: &mut Dithered, density: u32, words: &mut [u32; 32], noise: &mut Lfsr32) {
        state.fill(Density::from_bits(density), words, noise);
    }

    fn requantiser_new(at: &mut MaybeUninit<Requantiser>, order: usize) {
        at.write(Requantiser::new(TWELVE_BITS[order & 1], 0));
    }
    fn next_duty(state: &mut Requantiser, density: u32, noise: &mut Lfsr32) -> u32 {
        state.next_duty(Density::from_bits(density), noise)
    }

    fn size_of_fade() -> usize { size_of::<Fade<16>>() }
    fn fade_new(at: &mut MaybeUninit<Fade<16>>, values: &[u32; 16]) { at.write(Fade::at(*values)); }
    fn fade_start_16(fade: &mut Fade<16>, targets: &[u32; 16], steps: u32) {
        fade.start(targets, Pace::new(steps));
    }
    fn fade_step_16(fade: &mut Fade<16>) { fade.step(); }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        keep();
    }
}
