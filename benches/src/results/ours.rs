//! Our streams, and that of `idsp`, which is a crate as well.

use std::hint::black_box;

use dsp_process::Process;
use idsp::Dsm;
use milliglow::density::{Density, FirstOrder, Held, SecondOrder};
use milliglow_sim::description::{BUILT_IN, LevelChoice, Modulation, OperatingRow, parse};
use milliglow_sim::run::{StandingWords, Stepped, level, steady, stream};

use super::cpu::shortest;
use super::python::Peer;
use crate::peers::idsp_word;

/// As in `peers/streams.py`.
const DENSITY: u32 = 0x10D2_9FF0;
pub(super) const CHARGE: u32 = 0x9E37_79B9;
pub(super) const BITS: usize = 1 << 20;
/// Words between two changes of density: a control step at 3 MHz and 1 kHz.
const WORDS_A_STEP: usize = 94;
/// Of a fade: all that goes into [`BITS`].
const STEPS: usize = BITS / 32 / WORDS_A_STEP;
/// Words of each half of the double buffer that [`Held`] fills.
const HALF: usize = 1_024;

/// One of ours: gigabits a second, and its bits.
pub(super) struct Ours {
    pub(super) what: &'static str,
    pub(super) aim: &'static str,
    pub(super) case: &'static str,
    pub(super) speed: f64,
    pub(super) bits: Vec<u8>,
    pub(super) exact: Vec<u8>,
    /// What peers should give, where that is another stream.
    pub(super) theirs: Option<Vec<u8>>,
}

fn gigabits(seconds: f64, bits: usize) -> f64 {
    bits as f64 / seconds / 1e9
}

fn bytes(words: &[u32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()).collect()
}

/// Tick by tick.
fn stepped(mut next: impl FnMut() -> bool) -> Vec<u8> {
    let byte = |_| (0..8).fold(0, |byte, _| byte << 1 | u8::from(next()));
    (0..BITS / 8).map(byte).collect()
}

fn exact_constant() -> Vec<u8> {
    let mut plain = FirstOrder::new(CHARGE);
    stepped(|| plain.next_bit(Density::from_bits(DENSITY)))
}

pub(super) fn standing_speed(density: u32, charge: u32) -> f64 {
    let mut words = vec![0_u64; BITS / 64];
    let seconds = shortest(|| {
        StandingWords::new(black_box(density)).fill(charge, &mut words);
        black_box(&words);
    });
    gigabits(seconds, BITS)
}

pub(super) fn constant() -> Ours {
    let mut words = vec![0_u64; BITS / 64];
    StandingWords::new(DENSITY).fill(CHARGE, &mut words);
    Ours {
        what: "constant density, looked up (`StandingWords`)",
        aim: "30",
        case: "constant",
        speed: standing_speed(DENSITY, CHARGE),
        bits: words.iter().flat_map(|word| word.to_be_bytes()).collect(),
        exact: exact_constant(),
        theirs: None,
    }
}

pub(super) fn core_constant() -> Ours {
    let density = Density::from_bits(DENSITY);
    let mut words = vec![0; BITS / 32];
    FirstOrder::new(CHARGE).fill(density, &mut words);
    let bits = bytes(&words);
    let seconds = shortest(|| {
        FirstOrder::new(CHARGE).fill(black_box(density), &mut words);
        black_box(&words);
    });
    Ours {
        what: "constant density, the core's small profile",
        aim: "",
        case: "",
        speed: gigabits(seconds, BITS),
        bits,
        exact: exact_constant(),
        theirs: None,
    }
}

pub(super) fn core_held() -> Ours {
    let density = Density::from_bits(DENSITY);
    let mut halves = [[0; HALF]; 2];
    let mut bits = Vec::new();
    let mut run = |see: &mut dyn FnMut(&[u32])| {
        let (mut plain, mut held) = (FirstOrder::new(CHARGE), Held::new());
        for turn in 0..BITS / 32 / HALF {
            let [first, second] = &mut halves;
            let (previous, words) = if turn % 2 == 0 {
                (second, first)
            } else {
                (first, second)
            };
            held.fill(&mut plain, black_box(density), previous, words);
            see(words);
        }
    };
    run(&mut |words| bits.extend(bytes(words)));
    let seconds = shortest(|| {
        run(&mut |words| {
            black_box(words);
        });
    });
    Ours {
        what: "constant density, the chip's fast profile (`Held`)",
        aim: "",
        case: "",
        speed: gigabits(seconds, BITS),
        bits,
        exact: exact_constant(),
        theirs: None,
    }
}

/// Densities of the control steps of a fade that starts over.
fn densities() -> impl Iterator<Item = Density> {
    let next = |density: &u32| {
        let darker = ((u64::from(*density) * 65_000) >> 16) as u32;
        Some(if darker < 4_294_967 {
            0xF000_0000
        } else {
            darker
        })
    };
    std::iter::successors(Some(0xF000_0000_u32), next).map(Density::from_bits)
}

pub(super) fn fade() -> Ours {
    let mut words = vec![0; STEPS * WORDS_A_STEP];
    let mut run = || {
        let mut plain = FirstOrder::new(CHARGE);
        for (words, density) in words.chunks_mut(WORDS_A_STEP).zip(densities()) {
            plain.fill(density, words);
        }
        black_box(&words);
    };
    let seconds = shortest(&mut run);
    let mut plain = FirstOrder::new(CHARGE);
    let ticks = densities().flat_map(|density| std::iter::repeat_n(density, 32 * WORDS_A_STEP));
    let mut ticks = ticks.map(|density| plain.next_bit(density));
    Ours {
        what: "a fade, the core's small profile",
        aim: "3",
        case: "fade",
        speed: gigabits(seconds, 32 * STEPS * WORDS_A_STEP),
        exact: stepped(|| ticks.next().unwrap_or(false)),
        bits: bytes(&words),
        theirs: None,
    }
}

pub(super) fn second_order() -> Ours {
    let density = Density::from_bits(DENSITY & 0xFFFF_0000);
    let mut words = vec![0; BITS / 32];
    let seconds = shortest(|| {
        SecondOrder::new(1 << 31).fill(black_box(density), &mut words);
        black_box(&words);
    });
    let mut plain = SecondOrder::new(1 << 31);
    Ours {
        what: "second order, one channel",
        aim: "",
        case: "",
        speed: gigabits(seconds, BITS),
        bits: bytes(&words),
        exact: stepped(|| plain.next_bit(density)),
        theirs: None,
    }
}

/// Channels of second order that are stepped side by side.
const CHANNELS: usize = 16;

/// The built-in luminaire with sixteen channels of second order at lights of 3 to 50 %, and nothing else of it.
fn batch() -> Box<dyn Stepped> {
    let mut description = parse(BUILT_IN, "built in").expect("what ships");
    let mut channel = description.channels.swap_remove(0);
    channel.modulation = Modulation::SecondOrder;
    channel.rows = vec![OperatingRow::PLAIN];
    description.channels = vec![channel; CHANNELS];
    description.script.clear();
    description.recipes.truncate(1);
    description.recipes[0].shares = (1..=CHANNELS).map(|k| 1.0 / k as f64).collect();
    let level = level(&description, LevelChoice::Light(0.5));
    steady(&description, 0, level)
}

pub(super) fn second_orders() -> Ours {
    // Long enough for what the core draws first to be little.
    let words = BITS / 4;
    let seconds = {
        let mut luminaire = batch();
        shortest(|| {
            stream(&mut luminaire, CHANNELS, words, |words| {
                black_box(words);
            });
        })
    };
    let first = |see: &mut Vec<u8>, words: &[&[u32]]| see.extend(bytes(words[0]));
    let (mut found, mut exact) = (Vec::new(), Vec::new());
    stream(&mut batch(), CHANNELS, BITS / 32, |words| {
        first(&mut found, words);
    });
    let mut core = batch();
    let mut buffers = [[0_u32; 1]; CHANNELS];
    for _ in 0..BITS / 32 {
        core.fill(
            &mut buffers
                .iter_mut()
                .map(|buffer| &mut buffer[..])
                .collect::<Vec<_>>(),
        );
        first(&mut exact, &[&buffers[0]]);
    }
    Ours {
        what: "second order, sixteen channels side by side",
        aim: "5",
        case: "second_order",
        speed: gigabits(seconds, 32 * words * CHANNELS),
        bits: found,
        exact,
        theirs: Some(second_order().exact),
    }
}

/// The first-order modulator of `idsp`; its second order gives more than one bit.
pub(super) fn idsp(case: &str) -> Option<Peer> {
    let densities: Vec<Density> = match case {
        "constant" => vec![Density::from_bits(DENSITY); STEPS + 1],
        "fade" => densities().take(STEPS).collect(),
        _ => return None,
    };
    let mut words = vec![0; (WORDS_A_STEP * densities.len()).min(BITS / 32)];
    let seconds = shortest(|| {
        let mut modulator = Dsm::<1>::default();
        // The charge that ours begins with.
        modulator.process(CHARGE);
        for (words, density) in words.chunks_mut(WORDS_A_STEP).zip(&densities) {
            words.fill_with(|| idsp_word(&mut modulator, black_box(density.to_bits())));
        }
    });
    Some(Peer {
        name: "idsp".to_owned(),
        case: case.to_owned(),
        speed: Ok(gigabits(seconds, 32 * words.len())),
        bits: bytes(&words),
    })
}
