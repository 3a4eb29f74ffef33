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
fn lead(mut ledger: Ledger, density: Density, phase: u32) -> f64 {
    ledger.wake(density, phase);
    let owed = ledger.owed(density, 2_000);
    -(*owed.iter().min().expect("not empty") as f64) / PULSE as f64
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn without_a_phase_the_first_tick_is_a_pulse(
        modulation in modulations(), phase: u32, seed: u32, before in densities(), words in 0_usize..64, density in densities(),
    ) {
        let mut ledger = used(modulation, phase, seed, before, words);
        ledger.wake(density, 0);
        let word = ledger.draw(density, 1)[0];
        prop_assert!(density == Density::NONE || first_pulse(word) == 0, "{word:032b}");
    }

    /// Pulses of equal channels lie a part of their distance apart.
    #[test]
    fn a_phase_puts_the_first_pulse_off(before in densities(), density in log_uniform(1 << 22..=(1 << 31)), phase: u32) {
        let density = Density::from_bits(density);
        let mut ledger = used(Modulation::FirstOrder, 0, 1, before, 3);
        ledger.wake(density, phase);
        let words = ledger.draw(density, 33);
        let dark: u32 = words.iter().take_while(|&&word| word == 0).count() as u32;
        let first = 32 * dark + first_pulse(words[dark as usize]);
        let room = u32::MAX - density.to_bits() + 1;
        let expected = phase.min(room).div_ceil(density.to_bits());
        prop_assert_eq!(first, expected);
    }

    #[test]
    fn a_luminaire_wakes_on_the_first_tick(
        modulation in uniform5(modulations()), seed in 1_u32.., level in log_uniform(1..=65_535),
        shares in uniform5(fractions()), steps in log_uniform(1..=100_000),
    ) {
        let configuration = Configuration::new(Curve::Exponential(DEEP), modulation, seed);
        let mut luminaire = Luminaire::new(&configuration).unwrap();
        let recipe = Recipe::new(shares.map(Share::from_bits));
        luminaire.fade_to(&Target { level: Level::from_bits(level as u16), recipe }, Pace::new(steps));
        while luminaire.is_black() && luminaire.remaining() > 0 {
            luminaire.control_step();
        }
        let lit = luminaire.densities().iter().position(|&density| density != Density::NONE);
        let words = luminaire.next_words();
        prop_assert!(lit.is_none_or(|channel| first_pulse(words[channel]) == 0), "{words:?}");
    }

    /// Awake, N equal channels pulse one after the other, at even distances.
    #[test]
    fn equal_channels_are_spread(level in 2_049_u16..=65_535) {
        const CONFIGURATION: Configuration<4> = Configuration::new(
            Curve::Exponential(constant!(Exponential::new(1_000, 2_048))),
            [Modulation::FirstOrder; 4],
            1,
        );
        let mut luminaire = Luminaire::new(&CONFIGURATION).unwrap();
        let recipe = Recipe::new([Share::FULL; 4]);
        luminaire.fade_to(&Target { level: Level::from_bits(level), recipe }, Pace::new(0));
        luminaire.control_step();
        let density = luminaire.densities()[0].as_f64();
        let mut streams = [[0; 64]; 4];
        luminaire.fill(streams.each_mut().map(|words| &mut words[..]));
        let firsts = streams.map(|words| words.iter().position(|&word| word != 0).map_or(0, |k| 32 * k as u32 + first_pulse(words[k])));
        for (place, first) in firsts.into_iter().enumerate() {
            let expected = place as f64 / 4.0 / density;
            let latest = (1.0 / density).ceil();
            prop_assert!((f64::from(first) - expected).abs() <= 1.0 || f64::from(first) < latest && density > 0.25, "{firsts:?} at {density}");
        }
    }

    #[test]
    fn first_order_leads_by_less_than_a_pulse(
        phase: u32, before in densities(), words in 0_usize..64, density in densities(), later: u32,
    ) {
        let ledger = used(Modulation::FirstOrder, phase, 1, before, words);
        prop_assert!(lead(ledger, density, later) < 1.0);
    }

    #[test]
    fn dithered_leads_by_two_pulses_at_most(
        phase: u32, seed: u32, width in dither_widths(), before in densities(), words in 0_usize..64,
        density in densities(), later: u32,
    ) {
        let ledger = used(Modulation::Dithered(width), phase, seed, before, words);
        prop_assert!(lead(ledger, density, later) <= 2.0);
    }

    #[test]
    fn second_order_leads(
        phase: u32, before in densities(), words in 0_usize..64, density in densities(), later: u32,
    ) {
        let ledger = used(Modulation::SecondOrder, phase, 1, before, words);
        let lead = lead(ledger, density, later);
        prop_assert!(lead <= 1.5, "{lead}");
    }
}
