//! The paths that most of a check's time goes into, each a turn at a time.

use std::hint::black_box;

use milliglow::curve::Curve;
use milliglow::density::{Density, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Recipe, Share};
use milliglow_sim::optics::{Decimator, LineBand, SteadyChannel, steady_lines};

/// Runs a path so many times over.
pub type Run = fn(u32);

/// Every path, by its name.
pub const PATHS: [(&str, Run); 3] = [
    ("fade_of_five_channels", fade),
    ("samples_of_five_channels", samples),
    ("lines_of_five_channels", lines),
];

const CHANNELS: usize = 5;
/// A control step at 3 MHz and 1 kHz, in words.
const WORDS: usize = 94;
const TICK_HZ: u32 = 3_000_000;

/// A thousand control steps of a fade of first order, streams and all.
fn fade(turns: u32) {
    let configuration = Configuration::new(Curve::Lightness, [Modulation::FirstOrder; CHANNELS], 1);
    let mut luminaire = Luminaire::new(&configuration).expect("a start of the noise");
    let recipe = Recipe::new([Share::from_bits(3 << 30); CHANNELS]);
    luminaire.fade_to(
        &Target {
            level: Level::FULL,
            recipe,
        },
        Pace::new(20_000),
    );
    let mut buffers = [[0_u32; WORDS]; CHANNELS];
    for _ in 0..1_000 * turns {
        luminaire.control_step();
        luminaire.fill(buffers.each_mut().map(<[u32; WORDS]>::as_mut_slice));
        black_box(&buffers);
    }
}

/// A tenth of a second of noise-like streams to samples of their light.
fn samples(turns: u32) {
    let words: Vec<u32> = (0..TICK_HZ / 320)
        .map(|k| k.wrapping_mul(0x9E37_79B9))
        .collect();
    let channels = [words.as_slice(); CHANNELS];
    let mut decimator = Decimator::within(&[[1.0]; CHANNELS], TICK_HZ, 12_000..=20_000);
    for _ in 0..turns {
        decimator.push(&channels, |sample| {
            black_box(sample);
        });
    }
}

/// The lines of a steady light up to 2 kHz, at 1 %.
fn lines(turns: u32) {
    let channel =
        |k: u32| SteadyChannel::new(Density::from_bits(42_949_673 + 97 * k), k << 29, 100.0);
    let channels: Vec<_> = (0..CHANNELS as u32).map(channel).collect();
    let band = LineBand {
        below_hz: 2_000.0,
        floor: 1e-5,
    };
    for _ in 0..turns {
        black_box(steady_lines(black_box(&channels), f64::from(TICK_HZ), band));
    }
}
