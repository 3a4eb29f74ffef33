//! Loops over hot functions, timed by the processor's own timer: `tests/m0` counts the same loops and compares.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m::peripheral::syst::SystClkSource;
use milliglow::curve::Exponential;
use milliglow::density::{Density, DitherWidth, Dithered, FirstOrder, Lfsr32, SecondOrder};
use milliglow::fade::{Fade, Pace};
use milliglow::{Level, Light, Share, constant};
use milliglow_firmware::{kept, say};

const CURVE: Exponential = constant!(Exponential::new(1_000, 2_048));
const DENSITY: Density = Density::from_bits(u32::MAX / 7);

kept! {
    fn repeat_nothing(times: u32) {
        for k in 0..times {
            black_box(k);
        }
    }
    fn repeat_curve(times: u32) {
        for k in 0..times {
            black_box(CURVE.light(Level::from_bits((k * 60) as u16)));
        }
    }
    fn repeat_product(times: u32) {
        for k in 0..times {
            black_box(Share::from_bits(k << 20).of(Light::from_bits(!k)));
        }
    }
    fn repeat_first_order(times: u32) {
        let mut modulator = FirstOrder::new(0);
        for _ in 0..times {
            black_box(modulator.next_word(DENSITY));
        }
    }
    fn repeat_second_order(times: u32) {
        let mut modulator = SecondOrder::new(0);
        for _ in 0..times {
            let mut words = [0; 2];
            modulator.fill(DENSITY, &mut words);
            black_box(words);
        }
    }
    fn repeat_dithered(times: u32) {
        let mut noise = constant!(Lfsr32::new(1));
        let mut modulator = Dithered::new(DitherWidth::ONE_STEP, 0);
        for _ in 0..times {
            let mut words = [0; 2];
            modulator.fill(DENSITY, &mut words, &mut noise);
            black_box(words);
        }
    }
    fn repeat_fade(times: u32) {
        let mut fade = Fade::at([0, 7, u32::MAX]);
        for k in 0..times {
            fade.start(&[k << 20, !k, 0], Pace::new(k + 2));
            fade.step();
            black_box(fade.values());
        }
    }
}

type Loop = (&'static str, extern "C" fn(u32));
const LOOPS: [Loop; 7] = [
    ("repeat_nothing", repeat_nothing),
    ("repeat_curve", repeat_curve),
    ("repeat_product", repeat_product),
    ("repeat_first_order", repeat_first_order),
    ("repeat_second_order", repeat_second_order),
    ("repeat_dithered", repeat_dithered),
    ("repeat_fade", repeat_fade),
];
const TIMES: u32 = 1_000;

#[cortex_m_rt::entry]
fn main() -> ! {
    keep();
    let Some(mut peripherals) = cortex_m::Peripherals::take() else {
        say::done()
    };
    let timer = &mut peripherals.SYST;
    timer.set_clock_source(SystClkSource::Core);
    timer.set_reload(0xFF_FFFF);
    timer.clear_current();
    timer.enable_counter();
    for (name, run) in LOOPS {
        let before = cortex_m::peripheral::SYST::get_current();
        black_box(run)(black_box(TIMES));
        let after = cortex_m::peripheral::SYST::get_current();
        say::text(name);
        say::text(" ");
        say::hexadecimal(before.wrapping_sub(after) & 0xFF_FFFF); // it counts down
    }
    say::done()
}
