//! Bits a second, ours and peers', with the bits that differ from stepping tick by tick.

use std::hint::black_box;
use std::io;

use dsp_process::Process;
use idsp::Dsm;
use milliglow::density::{Density, FirstOrder, Held, SecondOrder};
use milliglow_sim::description::{BUILT_IN, LevelChoice, Modulation, OperatingRow, parse};
use milliglow_sim::run::{StandingWords, Stepped, level, steady, stream};

use super::cpu::shortest;
use super::page::{Figure, Page, figures};
use super::python::{Peer, peers};
use crate::peers::idsp_word;

/// As in `peers/streams.py`.
const DENSITY: u32 = 0x10D2_9FF0;
const CHARGE: u32 = 0x9E37_79B9;
const BITS: usize = 1 << 20;
/// Words between two changes of density: a control step at 3 MHz and 1 kHz.
const WORDS_A_STEP: usize = 94;
/// Of a fade: all that goes into [`BITS`].
const STEPS: usize = BITS / 32 / WORDS_A_STEP;
/// Words of each half of the double buffer that [`Held`] fills.
const HALF: usize = 1_024;

/// The nineteen densities of the ledger but none and full, which are no work.
const DENSITIES: [u32; 17] = [
    1 << 16,
    1 << 20,
    4_294_967,
    1 << 24,
    1 << 26,
    128_849_019,
    1 << 28,
    429_496_730,
    1 << 30,
    1_430_224_109,
    1_778_116_460,
    1 << 31,
    2_654_435_769,
    3 << 30,
    4_166_118_277,
    (1_u32 << 24).wrapping_neg(),
    (1_u32 << 20).wrapping_neg(),
];

/// One of ours: gigabits a second, and its bits.
struct Ours {
    what: &'static str,
    aim: &'static str,
    case: &'static str,
    speed: f64,
    bits: Vec<u8>,
    exact: Vec<u8>,
    /// What peers should give, where that is another stream.
    theirs: Option<Vec<u8>>,
}

/// Measures the streams, and writes their section.
pub(super) fn measure(page: &mut Page) -> io::Result<()> {
    let (versions, peers) = peers();
    let ours = [
        constant(),
        core_constant(),
        core_held(),
        fade(),
        second_orders(),
        second_order(),
    ];
    let mut rows: Vec<Figure> = Vec::new();
    for ours in &ours {
        rows.extend(beside_peers(ours, &peers));
    }
    let slowest = DENSITIES.map(|density| standing_speed(density, CHARGE));
    let slowest = slowest.into_iter().fold(f64::INFINITY, f64::min);
    let words = format!(
        "Gigabits a second of one core, {BITS} bits a run, the best of several; set-up counts. Density 0.0657 from an invented charge; \
         the fade goes from 94 % to 0.1 % over and over and changes every 3008 ticks. Errors are the bits that differ from stepping \
         tick by tick, of the first {BITS} (numpy's second order: 4096). The slowest of the ledger's densities, constant, takes \
         {slowest:.0} Gbit/s. Peers: {versions}, idsp {}.",
        version("idsp")
    );
    let [constant, .., fade, second_order, _] = &ours;
    page.matters(
        "streams, a core: constant density; a fade that changes every control step; second order",
        format!(
            "{:.0}; {:.1}; {:.1} Gbit/s",
            constant.speed, fade.speed, second_order.speed
        ),
    );
    page.section("Streams", &words, "", &figures(&rows));
    Ok(())
}

/// Of a crate in the workspace's lock file.
fn version(name: &str) -> String {
    let lock = include_str!("../../../Cargo.lock");
    let after = lock
        .split_once(&format!("name = \"{name}\"\nversion = \""))
        .map(|(_, after)| after);
    after
        .and_then(|after| after.split('"').next())
        .unwrap_or("?")
        .to_owned()
}

fn beside_peers(ours: &Ours, peers: &[Peer]) -> Vec<Figure> {
    let own = Figure {
        what: ours.what.to_owned(),
        ours: format!("{:.2}", ours.speed),
        aim: ours.aim.to_owned(),
        error: differing(&ours.bits, &ours.exact),
        ..Figure::default()
    };
    let mut theirs: Vec<Peer> = peers.to_vec();
    theirs.extend(idsp(ours.case));
    let theirs = theirs.iter().filter(|peer| peer.case == ours.case);
    let mut rows: Vec<_> = theirs
        .map(|peer| Figure {
            peer: peer.name.clone(),
            theirs: peer
                .speed
                .as_ref()
                .map_or("none".to_owned(), |speed| format!("{speed:.2}")),
            ratio: peer
                .speed
                .as_ref()
                .map_or(String::new(), |speed| format!("{:.1}", ours.speed / speed)),
            peer_error: match &peer.speed {
                Ok(_) => differing(&peer.bits, ours.theirs.as_ref().unwrap_or(&ours.exact)),
                Err(reason) => format!("does not run: {reason}"),
            },
            ..own.clone()
        })
        .collect();
    if rows.is_empty() {
        rows.push(own);
    }
    rows
}

/// Bits that differ over the shorter of both.
fn differing(bits: &[u8], exact: &[u8]) -> String {
    let count: u32 = bits
        .iter()
        .zip(exact)
        .map(|(one, other)| (one ^ other).count_ones())
        .sum();
    format!("{count} bits")
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

fn standing_speed(density: u32, charge: u32) -> f64 {
    let mut words = vec![0_u64; BITS / 64];
    let seconds = shortest(|| {
        StandingWords::new(black_box(density)).fill(charge, &mut words);
        black_box(&words);
    });
    gigabits(seconds, BITS)
}

fn constant() -> Ours {
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

fn core_constant() -> Ours {
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

fn core_held() -> Ours {
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
        })
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
        let darker = (u64::from(*density) * 65_000 >> 16) as u32;
        Some(if darker < 4_294_967 {
            0xF000_0000
        } else {
            darker
        })
    };
    std::iter::successors(Some(0xF000_0000_u32), next).map(Density::from_bits)
}

fn fade() -> Ours {
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

fn second_order() -> Ours {
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

fn second_orders() -> Ours {
    // Long enough for what the core draws first to be little.
    let words = BITS / 4;
    let seconds = {
        let mut luminaire = batch();
        shortest(|| {
            stream(&mut luminaire, CHANNELS, words, |words| {
                black_box(words);
            })
        })
    };
    let first = |see: &mut Vec<u8>, words: &[&[u32]]| see.extend(bytes(words[0]));
    let (mut found, mut exact) = (Vec::new(), Vec::new());
    stream(&mut batch(), CHANNELS, BITS / 32, |words| {
        first(&mut found, words)
    });
    let mut core = batch();
    let mut buffers = vec![[0_u32; 1]; CHANNELS];
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
fn idsp(case: &str) -> Option<Peer> {
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
