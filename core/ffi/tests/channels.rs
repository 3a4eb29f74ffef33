//! A luminaire in C spreads the channels that it has, and no more: from the first tick its streams are those of a `Luminaire` of as many.
#![expect(unsafe_code, reason = "the functions of the header are called")]

use std::ptr;

use milliglow::curve::Curve;
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration as CoreConfiguration, Luminaire as Core, Target};
use milliglow::{Level, Recipe, Share};
use milliglow_ffi::configuration::{
    Configuration, CurveSetting, Lowest, MILLIGLOW_CHANNELS, MILLIGLOW_CURVE_LIGHTNESS,
    Modulation as Kind,
};
use milliglow_ffi::luminaire::{Luminaire, milliglow_init};
use milliglow_ffi::movement::{milliglow_control_step, milliglow_fade_to};
use milliglow_ffi::streams::milliglow_fill;

const WORDS: usize = 8;
const CONTROL_STEPS: u32 = 60;
/// More than any luminaire takes, aligned to a pointer.
type Memory = [usize; 400];

fn configuration(channels: usize) -> Configuration {
    let first_order = Kind {
        kind: 0,
        dither_shift: 0,
        timer_bits: 0,
        timer_order: 0,
    };
    Configuration {
        curve: CurveSetting {
            depth: 0,
            tail_levels: 0,
            kind: MILLIGLOW_CURVE_LIGHTNESS,
        },
        lowest: Lowest {
            light: 0,
            kind: 0,
            hysteresis_shift: 0,
        },
        seed: 1,
        channels: channels as u8,
        range_choice: 0,
        modulation: [first_order; MILLIGLOW_CHANNELS],
        tables: [ptr::null(); MILLIGLOW_CHANNELS],
    }
}

fn shares<const N: usize>() -> [u32; N] {
    std::array::from_fn(|k| 0x0F1E_2D3C_u32.wrapping_mul(2 * k as u32 + 1) | 1 << 30)
}

/// Level and control steps of a fade up from the dark, and of one back to it.
const FADES: [(u16, u32); 2] = [(50_000, 40), (0, 15)];

fn from_core<const N: usize>() -> Vec<[[u32; WORDS]; N]> {
    let modulation = [Modulation::FirstOrder; N];
    let configuration = CoreConfiguration::new(Curve::Lightness, modulation, 1);
    let mut luminaire = Core::new(&configuration).expect("allowed");
    let recipe = Recipe::new(shares::<N>().map(Share::from_bits));
    let mut drawn = Vec::new();
    for step in 0..CONTROL_STEPS {
        if let Some((bits, steps)) = fade(step) {
            let level = Level::from_bits(bits);
            luminaire.fade_to(&Target { level, recipe }, Pace::new(steps));
        }
        luminaire.control_step();
        let mut words = [[0; WORDS]; N];
        luminaire.fill(words.each_mut().map(<[u32; WORDS]>::as_mut_slice));
        drawn.push(words);
    }
    drawn
}

fn fade(step: u32) -> Option<(u16, u32)> {
    match step {
        0 => Some(FADES[0]),
        42 => Some(FADES[1]),
        _ => None,
    }
}

fn from_c<const N: usize>() -> Vec<[[u32; WORDS]; N]> {
    let mut memory: Memory = [0; 400];
    let mut lamp: *mut Luminaire = ptr::null_mut();
    let (place, bytes) = (memory.as_mut_ptr().cast(), size_of::<Memory>());
    let mut drawn = Vec::new();
    // SAFETY: memory, configuration, shares and buffers outlive each call, and there is one a channel.
    unsafe {
        assert_eq!(
            milliglow_init(place, bytes, &configuration(N), &mut lamp),
            0
        );
        for step in 0..CONTROL_STEPS {
            if let Some((level, steps)) = fade(step) {
                assert_eq!(
                    milliglow_fade_to(lamp, level, shares::<N>().as_ptr(), steps),
                    0
                );
            }
            assert_eq!(milliglow_control_step(lamp), 0);
            let mut words = [[0; WORDS]; N];
            let buffers = words.each_mut().map(|words| words.as_mut_ptr());
            assert_eq!(milliglow_fill(lamp, buffers.as_ptr(), WORDS), 0);
            drawn.push(words);
        }
    }
    drawn
}

fn agrees<const N: usize>() {
    let (core, c) = (from_core::<N>(), from_c::<N>());
    let lit = core.iter().flatten().flatten().filter(|word| **word != 0);
    assert!(lit.count() > 100, "{N} channels hardly shine");
    for (step, (core, c)) in core.iter().zip(&c).enumerate() {
        assert_eq!(core, c, "{N} channels, control step {step}");
    }
}

macro_rules! for_each_count {
    ($($n:literal)*) => { $(agrees::<$n>();)* };
}

#[test]
fn any_number_of_channels_gives_the_streams_of_as_many() {
    for_each_count!(1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16);
}
