//! The ones of any window of a stream are its length times the density, within the modulator's bound.

use milliglow::density::{Density, FirstOrder, Modulation};
use milliglow_tests::cases::{cases, densities, dither_widths};
use milliglow_tests::stream::{Ledger, PULSE, exact, first_order, ticks};
use proptest::prelude::*;

/// Densities of the input range of the second order.
fn middle() -> impl Strategy<Value = Density> {
    ((1_u32 << 20)..=!(1 << 20)).prop_map(Density::from_bits)
}

/// The most and the least that any window of a stream owes.
fn spread(owed: &[i64]) -> i64 {
    let most = owed.iter().max().expect("not empty");
    most - owed.iter().min().expect("not empty")
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn first_order_windows_hold_the_floor_or_the_ceiling(
        phase: u32, density in densities(), window in 1_usize..4096,
    ) {
        let mut modulator = FirstOrder::new(phase);
        let ones: Vec<i64> = ticks(&first_order(&mut modulator, density, 192)).map(i64::from).collect();
        let product = exact(density) * window as i64;
        let mut held: i64 = ones[..window].iter().sum();
        for (first, next) in ones.iter().zip(&ones[window..]) {
            prop_assert!(held == product >> 32 || held == (product + PULSE - 1) >> 32, "{held}");
            held += next - first;
        }
    }

    #[test]
    fn first_order_gaps_differ_by_one_tick_at_most(phase: u32, bits in (1_u32 << 20)..) {
        let mut modulator = FirstOrder::new(phase);
        let words = first_order(&mut modulator, Density::from_bits(bits), 512);
        let places: Vec<usize> = ticks(&words).enumerate().filter_map(|(k, one)| one.then_some(k)).collect();
        let gaps = || places.windows(2).map(|pair| pair[1] - pair[0]);
        prop_assert!(gaps().max().unwrap() - gaps().min().unwrap() <= 1);
    }

    #[test]
    fn first_order_ones_are_the_sum_rounded_down_after_the_phase(phase: u32, density in densities()) {
        let mut ledger = Ledger::new(Modulation::FirstOrder, phase, 1);
        let phase = i64::from(phase);
        for owed in ledger.owed(density, 64) {
            prop_assert!((0..PULSE).contains(&(owed + phase)));
        }
    }

    #[test]
    fn dithered_stays_within_one_and_a_half_and_any_window_within_two(
        phase: u32, seed: u32, density in densities(), width in dither_widths(),
    ) {
        let owed = Ledger::new(Modulation::Dithered(width), phase, seed).owed(density, 128);
        prop_assert!(owed.iter().all(|owed| owed.abs() <= 3 * PULSE / 2));
        prop_assert!(spread(&owed) <= 2 * PULSE);
    }

    #[test]
    fn second_order_stays_within_one_and_a_half_at_a_steady_density(phase: u32, density in middle()) {
        let owed = Ledger::new(Modulation::SecondOrder, phase, 1).owed(density, 512);
        let worst = owed.iter().map(|owed| owed.abs()).max();
        prop_assert!(worst <= Some(3 * PULSE / 2), "{worst:?}");
    }
}
