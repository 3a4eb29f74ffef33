//! Whole luminaires that run for a second, to be called by name: `tests/m0` tells what part of a processor they take.
//!
//! See `parts` for how. The words go out in a double buffer a channel, as shift outputs with a DMA take them.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Held, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, FirstOrderOnly, Luminaire, Target};
use milliglow::operating::Table;
use milliglow::{Light, Recipe, Share, constant};
use milliglow_firmware::kept;
use milliglow_firmware::stretched::STRETCHED;

const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 0)));
const WORDS: usize = 128;

/// Multiples of the golden ratio: no share is near a ratio of small numbers.
fn shares<const N: usize>() -> [Share; N] {
    let mut share = 0_u32;
    [(); N].map(|()| {
        share = share.wrapping_add(0x9E37_79B9);
        Share::from_bits(share)
    })
}

/// A luminaire of N channels, in a module of its own.
macro_rules! whole {
    ($module:ident, $n:literal, $size:ident, $new:ident, $go:ident, $control:ident, $fill:ident, $fill_held:ident) => {
        mod $module {
            use super::*;

            type Whole = (Luminaire<'static, $n, FirstOrderOnly<'static>>, [Held; $n]);
            type Words = [[u32; WORDS]; $n];

            kept! {
                fn $size() -> usize { size_of::<Whole>() }
                fn $new(at: &mut MaybeUninit<Whole>, stretched: bool) -> bool {
                    let plain = Configuration::new(CURVE, [Modulation::FirstOrder; $n], 1);
                    let table = if stretched { &STRETCHED } else { &Table::PLAIN };
                    let made = Luminaire::first_order(&Configuration { operating: [table; $n], ..plain });
                    made.map(|luminaire| at.write((luminaire, [const { Held::new() }; $n]))).is_ok()
                }
                fn $go(whole: &mut Whole, light: u32, steps: u32) {
                    let target = Target { level: CURVE.level(Light::from_bits(light)), recipe: Recipe::new(shares()) };
                    whole.0.fade_to(&target, Pace::new(steps));
                }
                fn $control(whole: &mut Whole) { whole.0.control_step(); }
                fn $fill(whole: &mut Whole, _previous: &Words, words: &mut Words) {
                    whole.0.fill(words.each_mut().map(<[u32; WORDS]>::as_mut_slice));
                }
                fn $fill_held(whole: &mut Whole, previous: &Words, words: &mut Words) {
                    let previous = previous.each_ref().map(<[u32; WORDS]>::as_slice);
                    whole.0.fill_held(&mut whole.1, previous, words.each_mut().map(<[u32; WORDS]>::as_mut_slice));
                }
            }
        }
    };
}

whole! { five, 5, size_of_whole_5, whole_new_5, whole_go_5, whole_control_5, whole_small_5, whole_fast_5 }
whole! { nine, 9, size_of_whole_9, whole_new_9, whole_go_9, whole_control_9, whole_small_9, whole_fast_9 }

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        five::keep();
        nine::keep();
    }
}
