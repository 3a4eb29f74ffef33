//! Full is an unbroken 1 and none an unbroken 0, from any state and for any number of channels.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, Dithered, FirstOrder, Modulation, SecondOrder};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Light, Recipe, Share, constant};
use milliglow_tests::cases::{cases, densities, dither_widths, modulations};
use milliglow_tests::stream::{Ledger, noise};
use proptest::prelude::*;

/// Without any charge at the start, often enough: nothing but the rule for full gives a one then.
fn phases() -> impl Strategy<Value = u32> {
    prop_oneof![Just(0), any::<u32>()]
}

fn often_none() -> impl Strategy<Value = Density> {
    prop_oneof![Just(Density::NONE), densities()]
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn streams_are_unbroken(
        modulation in modulations(), phase: u32, seed: u32, before in densities(), words in 0_usize..64,
    ) {
        let mut ledger = Ledger::new(modulation, phase, seed);
        ledger.draw(before, words);
        prop_assert!(ledger.draw(Density::FULL, 40).iter().all(|&word| word == u32::MAX));
        prop_assert!(ledger.draw(Density::NONE, 40).iter().all(|&word| word == 0));
        prop_assert!(ledger.draw(Density::FULL, 1) == [u32::MAX]);
    }

    #[test]
    fn single_ticks_are_unbroken(
        phase in phases(), seed: u32, before in often_none(), width in dither_widths(),
    ) {
        let mut first = FirstOrder::new(phase);
        let mut second = SecondOrder::new(phase);
        let (mut dithered, mut noise) = (Dithered::new(width, phase), noise(seed));
        let mut tick = |density| {
            (first.next_bit(density), second.next_bit(density), dithered.next_bit(density, &mut noise))
        };
        for _ in 0..64 {
            tick(before);
        }
        for _ in 0..64 {
            prop_assert_eq!(tick(Density::FULL), (true, true, true));
            prop_assert_eq!(tick(Density::NONE), (false, false, false));
        }
        prop_assert_eq!(first.next_word(Density::FULL), u32::MAX);
        prop_assert_eq!(first.next_word(Density::NONE), 0);
    }
}

fn full_is_full<const N: usize>(modulation: Modulation, curve: Curve) {
    let recipe = Recipe::new([Share::FULL; N]);
    assert_eq!(recipe.lights(Light::FULL), [Light::FULL; N]);
    let configuration = Configuration::new(curve, [modulation; N], 1);
    let mut luminaire = Luminaire::new(&configuration).expect("a seed");
    for (level, density, word) in [
        (Level::FULL, Density::FULL, u32::MAX),
        (Level::OFF, Density::NONE, 0),
    ] {
        luminaire.fade_to(&Target { level, recipe }, Pace::new(7));
        (0..7).for_each(|_| luminaire.control_step());
        assert_eq!(luminaire.densities(), [density; N]);
        assert_eq!(luminaire.next_words(), [word; N]);
    }
}

#[test]
fn full_is_full_for_any_number_of_channels() {
    const DEEP: Exponential = constant!(Exponential::new(1_000, 2_048));
    for curve in [Curve::Exponential(DEEP), Curve::Lightness, Curve::Linear] {
        for modulation in [Modulation::FirstOrder, Modulation::SecondOrder] {
            full_is_full::<1>(modulation, curve);
            full_is_full::<2>(modulation, curve);
            full_is_full::<5>(modulation, curve);
            full_is_full::<9>(modulation, curve);
            full_is_full::<16>(modulation, curve);
            full_is_full::<20>(modulation, curve);
        }
    }
}
