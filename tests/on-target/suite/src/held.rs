//! Streams by the fast profile: densities that stand for a while, alone and in a whole luminaire.

use milliglow::constant;
use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Decision, Density, Edge, FirstOrder, Held, Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::operating::Table;
use milliglow::{Error, Level, Recipe, Share};

use crate::random::Random;
use crate::{Hash, Report, tables};

pub(crate) fn run(report: Report<'_>) {
    report("held densities", standing());
    report("luminaire by the fast profile", luminaire().unwrap_or(0));
}

/// Words of a buffer.
const WORDS: usize = 100;

/// A density as it comes, near a ratio of small numbers, or at an end.
fn density(random: &mut Random, k: u32) -> Density {
    let near = (random.next() % 64) << 26;
    Density::from_bits(match k % 4 {
        0 => random.any_length(),
        1 => !random.any_length(),
        2 => near.wrapping_add(random.any_length() >> 8),
        _ => random.next(),
    })
}

fn standing() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(30));
    let mut modulator = FirstOrder::new(1 << 30);
    let mut held = Held::new();
    let mut halves = [[0; WORDS]; 2];
    for k in 0..120 {
        let density = density(&mut random, k);
        let stretch = Stretch::from_ticks(1 << (k / 4 % 5)).unwrap_or_default();
        let decision = Decision {
            stretch,
            edge: Edge::NONE,
        };
        for _ in 0..random.next() % 12 {
            let [previous, words] = &mut halves;
            match stretch {
                Stretch::One => held.fill(&mut modulator, density, previous, words),
                _ => held.fill_as(&mut modulator, density, decision, previous, words),
            }
            hash.words(*words);
            hash.word(modulator.charge());
            halves.swap(0, 1);
        }
        if k % 10 == 0 {
            held.forget();
        }
    }
    hash.value()
}

fn luminaire() -> Result<u32, Error> {
    let (mut hash, mut random) = (Hash::new(), Random::new(31));
    let curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
    let plain = Configuration::new(curve, [Modulation::FirstOrder; 3], 5);
    let operating = [&tables::CORRECTED, &Table::PLAIN, &tables::DARK];
    let mut luminaire = Luminaire::new(&Configuration { operating, ..plain })?;
    let mut held = [const { Held::new() }; 3];
    let mut halves = [[[0; 32]; 3]; 2];
    for step in 0..600 {
        if step % 30 == 0 {
            let level = Level::from_bits(random.any_length() as u16);
            let recipe = Recipe::new([(); 3].map(|()| Share::from_bits(random.any_length())));
            luminaire.fade_to(&Target { level, recipe }, Pace::new(random.next() % 20));
        }
        luminaire.control_step();
        let [previous, words] = &mut halves;
        let previous = previous.each_ref().map(<[u32; 32]>::as_slice);
        luminaire.fill_held(
            &mut held,
            previous,
            words.each_mut().map(<[u32; 32]>::as_mut_slice),
        );
        hash.words(words.iter().flatten().copied());
        halves.swap(0, 1);
        let mut ticks = [0; 24];
        match step % 3 {
            0 => luminaire.fill_port::<u8>(&mut held, &mut ticks),
            1 => luminaire.fill_port::<u16>(&mut held, &mut ticks),
            _ => luminaire.fill_port::<u32>(&mut held, &mut ticks),
        }
        hash.words(ticks);
    }
    Ok(hash.value())
}
