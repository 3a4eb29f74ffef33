//! No charge is lost or doubled when the density changes, however and whenever it does.

use milliglow::density::{Density, Modulation};
use milliglow_tests::cases::{cases, densities, dither_widths};
use milliglow_tests::stream::{Ledger, PULSE};
use proptest::collection::vec;
use proptest::prelude::*;

/// Densities and for how many words each is held.
fn changes(longest: usize) -> impl Strategy<Value = Vec<(Density, usize)>> {
    vec((densities(), 1..longest), 2..40)
}

/// The farthest from the densities' sum, in units of 2^-32 pulses.
fn farthest(ledger: &mut Ledger, changes: &[(Density, usize)]) -> i64 {
    let owed = changes
        .iter()
        .flat_map(|&(density, words)| ledger.owed(density, words));
    owed.map(i64::abs).max().expect("not empty")
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn first_order_owes_less_than_a_pulse(phase: u32, changes in changes(64)) {
        let mut ledger = Ledger::new(Modulation::FirstOrder, phase, 1);
        prop_assert!(farthest(&mut ledger, &changes) < PULSE);
    }

    #[test]
    fn dithered_owes_a_pulse_and_a_half_at_most(
        phase: u32, seed: u32, width in dither_widths(), changes in changes(64),
    ) {
        let mut ledger = Ledger::new(Modulation::Dithered(width), phase, seed);
        prop_assert!(farthest(&mut ledger, &changes) <= 3 * PULSE / 2);
    }

    /// Half a second of low density at 1 MHz before a jump is what drives the second sum the farthest.
    #[test]
    fn second_order_swings_by_a_hundred_pulses_at_most(phase: u32, changes in changes(2_000)) {
        let mut ledger = Ledger::new(Modulation::SecondOrder, phase, 1);
        prop_assert!(farthest(&mut ledger, &changes) <= 100 * PULSE);
    }

    #[test]
    fn second_order_settles_and_owes_nothing(phase: u32, changes in changes(200), last in 0.05..0.95) {
        let mut ledger = Ledger::new(Modulation::SecondOrder, phase, 1);
        farthest(&mut ledger, &changes);
        let last = Density::from_bits((last * 4_294_967_296.0) as u32);
        ledger.owed(last, 8_000);
        let settled = farthest(&mut ledger, &[(last, 100)]);
        prop_assert!(settled <= 3 * PULSE / 2, "{}", settled as f64 / PULSE as f64);
    }
}
