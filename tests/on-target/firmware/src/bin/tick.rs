//! The ways of ticks and control steps alone, of every modulation and curve: what they must not need is seen from the symbols.
#![no_std]
#![no_main]

use core::hint::black_box;

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{DitherWidth, Modulation};
use milliglow::luminaire::{Configuration, Luminaire};
use milliglow::{Level, Light, Share, constant};
use milliglow_firmware as _;

const CONFIGURATION: Configuration<5> = Configuration::new(
    Curve::Exponential(constant!(Exponential::new(1_000, 2_048))),
    [
        Modulation::FirstOrder,
        Modulation::FirstOrder,
        Modulation::Dithered(DitherWidth::ONE_STEP),
        Modulation::SecondOrder,
        Modulation::FirstOrder,
    ],
    1,
);

#[cortex_m_rt::entry]
fn main() -> ! {
    let mut luminaire = constant!(Luminaire::new(&CONFIGURATION));
    let mut words = [[0_u32; 32]; 5];
    loop {
        let luminaire = black_box(&mut luminaire);
        luminaire.control_step();
        luminaire.fill(words.each_mut().map(<[u32; 32]>::as_mut_slice));
        luminaire.pause();
        luminaire.resume();
        let light = black_box(&Curve::Linear).light(black_box(Level::FULL));
        black_box((
            &words,
            Share::FULL.of(light),
            luminaire.next_words(),
            Light::FULL,
        ));
    }
}
