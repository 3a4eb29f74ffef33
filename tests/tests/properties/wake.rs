//! The first pulse after black comes soon, at any light, and costs little charge.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Recipe, Share, constant};
use milliglow_tests::cases::{
    cases, densities, dither_widths, fractions, log_uniform, modulations,
};
use milliglow_tests::stream::{Ledger, PULSE};
use proptest::array::uniform5;
use proptest::prelude::*;

const DEEP: Exponential = constant!(Exponential::new(100_000, 4_096));

/// The tick of the first pulse in a word.
fn first_pulse(word: u32) -> u32 {
    word.leading_zeros()
}

/// A ledger that has run at some density before it went black.
fn used(modulation: Modulation, phase: u32, seed: u32, before: Density, words: usize) -> Ledger {
    let mut ledger = Ledger::new(modulation, phase, seed);
    ledger.draw(before, words);
    ledger
}

/// The most pulses by which the ones lead the densities' sum after a wake-up.
fn lead(mut ledger: Ledger, density: Density, after: u8) -> f64 {
    ledger.wake(density, after);
    let owed = ledger.owed(density, 2_000);
    -(*owed.iter().min().expect("not empty") as f64) / PULSE as f64
}

fn dim() -> impl Strategy<Value = Density> {
    log_uniform(1..=(1 << 27) - 1).prop_map(Density::from_bits)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn the_first_pulse_is_not_late(
        modulation in modulations(), phase: u32, seed: u32, before in densities(), words in 0_usize..64,
        density in dim(), after in 0_u8..32,
    ) {
        let mut ledger = used(modulation, phase, seed, before, words);
        ledger.wake(density, after);
        let word = ledger.draw(density, 1)[0];
        prop_assert!(first_pulse(word) <= u32::from(after), "{word:032b}");
    }

    #[test]
    fn a_luminaire_wakes_channel_by_channel(
        modulation in uniform5(modulations()), seed in 1_u32.., level in log_uniform(1..=65_535),
        shares in uniform5(fractions()), steps in log_uniform(1..=100_000),
    ) {
        let configuration = Configuration { curve: Curve::Exponential(DEEP), modulation, seed };
        let mut luminaire = Luminaire::new(&configuration).unwrap();
        let recipe = Recipe::new(shares.map(Share::from_bits));
        luminaire.fade_to(&Target { level: Level::from_bits(level as u16), recipe }, Pace::new(steps));
        while luminaire.is_black() && luminaire.remaining() > 0 {
            luminaire.control_step();
        }
        let densities = *luminaire.densities();
        for (k, (word, density)) in luminaire.next_words().into_iter().zip(densities).enumerate() {
            // From a density of 1/32 a pulse is due within 32 ticks anyway, but on no tick in particular.
            let latest = if density.to_bits() >> 27 == 0 { k as u32 } else { 32 };
            prop_assert!(density == Density::NONE || first_pulse(word) <= latest, "channel {k}: {word:032b}");
        }
    }

    #[test]
    fn first_order_leads_by_less_than_a_pulse(
        phase: u32, before in densities(), words in 0_usize..64, density in dim(), after in 0_u8..32,
    ) {
        let ledger = used(Modulation::FirstOrder, phase, 1, before, words);
        prop_assert!(lead(ledger, density, after) < 1.0);
    }

    #[test]
    fn dithered_leads_by_two_pulses_at_most(
        phase: u32, seed: u32, width in dither_widths(), before in densities(), words in 0_usize..64, density in dim(),
        after in 0_u8..32,
    ) {
        let ledger = used(Modulation::Dithered(width), phase, seed, before, words);
        prop_assert!(lead(ledger, density, after) <= 2.0);
    }

    #[test]
    fn second_order_leads(
        phase: u32, before in densities(), words in 0_usize..64, density in dim(), after in 0_u8..32,
    ) {
        let ledger = used(Modulation::SecondOrder, phase, 1, before, words);
        let lead = lead(ledger, density, after);
        prop_assert!(lead <= 1.5, "{lead}");
    }
}
