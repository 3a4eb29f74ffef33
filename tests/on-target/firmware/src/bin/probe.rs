//! Whole luminaires, to be called by name: `tests/m0` counts what they cost.
//!
//! Arguments that are references point to RAM that the caller has set aside; `size_of_*` says how much.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;

use milliglow::curve::{ControlCurve, ControlLevel, Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, FirstOrderOnly, FirstOrderPlain, Luminaire, Target};
use milliglow::{Level, Recipe, Share, constant};
use milliglow_firmware::kept;
use milliglow_suite::tables::CORRECTED;

const WITH_TAIL: Exponential = constant!(Exponential::new(1_000, 2_048));

/// A luminaire of N channels, in a module of its own.
macro_rules! luminaire {
    ($module:ident, $n:literal, $size:ident, $target_size:ident, $new:ident, $new_rows:ident, $target:ident, $retarget:ident,
     $control:ident, $fill:ident) => {
        mod $module {
            use super::*;

            /// Words of a control step at 3 MHz and 1 kHz, whole ones.
            const WORDS: usize = 94;

            fn configuration(modulation: Modulation, seed: u32) -> Configuration<'static, $n> {
                Configuration::new(Curve::Exponential(WITH_TAIL), [modulation; $n], seed)
            }

            kept! {
                fn $size() -> usize { size_of::<Luminaire<$n>>() }
                fn $target_size() -> usize { size_of::<Target<$n>>() }
                fn $new(at: &mut MaybeUninit<Luminaire<'static, $n>>, seed: u32) -> bool {
                    let luminaire = Luminaire::new(&configuration(Modulation::FirstOrder, seed));
                    luminaire.map(|luminaire| at.write(luminaire)).is_ok()
                }
                fn $new_rows(at: &mut MaybeUninit<Luminaire<'static, $n>>, seed: u32) -> bool {
                    let plain = configuration(Modulation::FirstOrder, seed);
                    let luminaire = Luminaire::new(&Configuration { operating: [&CORRECTED; $n], ..plain });
                    luminaire.map(|luminaire| at.write(luminaire)).is_ok()
                }
                fn $target(at: &mut MaybeUninit<Target<$n>>, level: u32, shares: &[u32; $n]) {
                    let (level, recipe) = (Level::from_bits(level as u16), Recipe::new(shares.map(Share::from_bits)));
                    at.write(Target { level, recipe });
                }
                fn $retarget(luminaire: &mut Luminaire<'static, $n>, target: &Target<$n>, steps: u32) {
                    luminaire.fade_to(target, Pace::new(steps));
                }
                fn $control(luminaire: &mut Luminaire<'static, $n>) { luminaire.control_step(); }
                fn $fill(luminaire: &mut Luminaire<'static, $n>, words: &mut [[u32; WORDS]; $n]) {
                    luminaire.fill(words.each_mut().map(<[u32; WORDS]>::as_mut_slice));
                }
            }
        }
    };
}

luminaire! { one, 1, size_of_1, size_of_target_1, new_1, new_rows_1, target_1, retarget_1, control_1, fill_1 }
luminaire! { two, 2, size_of_2, size_of_target_2, new_2, new_rows_2, target_2, retarget_2, control_2, fill_2 }
luminaire! { five, 5, size_of_5, size_of_target_5, new_5, new_rows_5, target_5, retarget_5, control_5, fill_5 }
luminaire! { nine, 9, size_of_9, size_of_target_9, new_9, new_rows_9, target_9, retarget_9, control_9, fill_9 }
luminaire! { sixteen, 16, size_of_16, size_of_target_16, new_16, new_rows_16, target_16, retarget_16, control_16, fill_16 }

/// The size of a luminaire of 5 channels of a kind, and what each adds.
macro_rules! kind {
    ($module:ident, $kind:ty, $size:ident, $channel:ident) => {
        mod $module {
            use super::*;

            kept! {
                fn $size() -> usize { size_of::<Luminaire<5, $kind>>() }
                fn $channel() -> usize { (size_of::<Luminaire<16, $kind>>() - size_of::<Luminaire<1, $kind>>()) / 15 }
            }
        }
    };
}

kind! { first_order, FirstOrderOnly, size_of_5_first_order, a_channel_first_order }
kind! { plain, FirstOrderPlain, size_of_5_plain, a_channel_plain }

mod curves {
    use super::*;

    kept! {
        fn curve_lightness(bits: u32) -> u32 { Curve::Lightness.light(Level::from_bits(bits as u16)).to_bits() }
        fn curve_linear(bits: u32) -> u32 { Curve::Linear.light(Level::from_bits(bits as u16)).to_bits() }
        fn curve_control_level(number: u32) -> u32 {
            let level = ControlLevel::new(number as u8);
            level.map_or(0, |level| ControlCurve::Logarithmic.light(level).to_bits())
        }
    }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        curves::keep();
        first_order::keep();
        plain::keep();
        one::keep();
        two::keep();
        five::keep();
        nine::keep();
        sixteen::keep();
    }
}
