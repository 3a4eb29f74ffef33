//! A million and a quarter of ticks: every modulator at changing densities, woken up now and then.

use milliglow::constant;
use milliglow::density::{
    Density, DitherWidth, Dithered, FirstOrder, Lfsr32, Modulation, Modulator, SecondOrder,
};

use crate::random::Random;
use crate::{Hash, Report};

const MODULATIONS: [(&str, Modulation); 4] = [
    ("first order", Modulation::FirstOrder),
    ("second order", Modulation::SecondOrder),
    ("dithered", Modulation::Dithered(DitherWidth::ONE_STEP)),
    (
        "dithered a sixteenth",
        Modulation::Dithered(constant!(DitherWidth::new(4))),
    ),
];

/// Densities of a stream, and words of each.
const DENSITIES: u32 = 64;
const WORDS: usize = 160;

pub(crate) fn run(report: Report<'_>) {
    for (name, modulation) in MODULATIONS {
        report(name, words(modulation));
    }
    report("bits", bits());
}

pub(crate) fn density(random: &mut Random, k: u32) -> Density {
    match k % 16 {
        3 => Density::NONE,
        7 => Density::FULL,
        11 => Density::from_bits(!random.any_length()),
        _ => Density::from_bits(random.any_length()),
    }
}

fn words(modulation: Modulation) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(8));
    let mut noise = constant!(Lfsr32::new(0x1234_5678));
    let mut modulator = Modulator::new(modulation, 1 << 30);
    let mut buffer = [0; WORDS];
    for k in 0..DENSITIES {
        let density = density(&mut random, k);
        if k % 8 == 4 {
            modulator.wake(density, random.next());
        }
        modulator.fill(density, &mut buffer, &mut noise);
        hash.words(buffer);
    }
    hash.value()
}

/// The same modulators, tick by tick and word by word.
fn bits() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(9));
    let mut noise = constant!(Lfsr32::new(9));
    let mut first = FirstOrder::new(0);
    let mut second = SecondOrder::new(1 << 31);
    let mut dithered = Dithered::new(DitherWidth::ONE_STEP, 0);
    for k in 0..20_000 {
        let density = density(&mut random, k / 50);
        if k % 1_000 == 500 {
            first.wake(density, 5);
            second.wake(density, 1 << 20);
            dithered.wake(density, 1 << 31);
        }
        let ticks = [
            first.next_bit(density),
            second.next_bit(density),
            dithered.next_bit(density, &mut noise),
        ];
        hash.words(ticks.map(u32::from));
        hash.words([first.next_word(density), first.charge()]);
        hash.word(first.owed().cast_unsigned());
        if let Some(shaping) = second.shaping(density) {
            hash.word(shaping.sum.cast_unsigned());
        }
    }
    hash.value()
}
