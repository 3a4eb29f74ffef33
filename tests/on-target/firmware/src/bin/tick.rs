//! The ways of ticks and control steps alone, of every modulation and curve, with operating tables: what they must not need is seen from the symbols.
#![no_std]
#![no_main]

use core::hint::black_box;

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, DitherWidth, Lfsr32, Modulation};
use milliglow::luminaire::{Configuration, Luminaire};
use milliglow::mailbox::Mailbox;
use milliglow::operating::Table;
use milliglow::requantise::{Order, Requantiser, TimerPwm};
use milliglow::{Level, Light, Share, constant};
use milliglow_firmware as _;
use milliglow_suite::tables::{BOOKED, CORRECTED, DARK};

const PLAIN: Configuration<5> = Configuration::new(
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

static CONFIGURATION: Configuration<5> = Configuration {
    operating: [&CORRECTED, &Table::PLAIN, &BOOKED, &BOOKED, &DARK],
    ..PLAIN
};

static MAILBOX: Mailbox<5> = Mailbox::new();
const PWM: TimerPwm = constant!(TimerPwm::new(
    12,
    Order::Second,
    Some(DitherWidth::ONE_STEP)
));

#[cortex_m_rt::entry]
fn main() -> ! {
    let mut luminaire = constant!(Luminaire::new(&CONFIGURATION));
    let mut duties = Requantiser::new(PWM, 0);
    let mut noise = constant!(Lfsr32::new(1));
    let mut words = [[0_u32; 32]; 5];
    loop {
        let luminaire = black_box(&mut luminaire);
        luminaire.control_step();
        luminaire.fill(words.each_mut().map(<[u32; 32]>::as_mut_slice));
        MAILBOX.post(&luminaire.densities().map(Density::to_bits));
        black_box((MAILBOX.take(), luminaire.ranges()));
        black_box(duties.next_duty(luminaire.densities()[0], &mut noise));
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
