//! Ticks of a buck that were seen before, and cycles that repeat, against every tick computed anew.

use milliglow_sim::optics::drivers::{Buck, BuckFigures, Driver, Gated};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

const TICK_S: f64 = 1e-6;

/// 24 V, 9.6 V; figures invented.
fn figures(inductance_h: f64, output_f: f64, string_ohm: f64) -> BuckFigures {
    BuckFigures {
        supply_v: 24.0,
        string_v: 9.6,
        string_ohm,
        diode_v: 0.4,
        inductance_h,
        output_f,
        set_a: 0.5,
        off_time_s: 700e-9,
        delay_s: 60e-9,
    }
}

/// Currents that run out within a tick, that last for many, and with capacitors small and large.
fn bucks() -> [BuckFigures; 6] {
    [
        figures(4.7e-6, 0.0, 0.0),
        figures(10e-6, 0.0, 2.0),
        figures(100e-6, 0.0, 2.0),
        figures(10e-6, 100e-9, 2.0),
        figures(47e-6, 470e-9, 4.0),
        figures(22e-6, 4.7e-6, 2.0),
    ]
}

fn gated(figures: BuckFigures) -> Gated {
    let driver = Driver::Buck(Buck::new(figures).unwrap());
    Gated::whatever_the_rise(&driver, TICK_S, 1).unwrap()
}

/// Charge and draw of every tick, and of the words, agree within 1e-9 of a tick; the sum within 1e-9 of itself.
fn compare(figures: BuckFigures, words: &[u32]) -> Result<(), TestCaseError> {
    let (mut fast, mut plain) = (gated(figures), gated(figures).without_memory());
    let mut counted = gated(figures);
    let (mut sum, mut plainly, mut by_words) = (0.0, 0.0, 0.0);
    for piece in words.chunks(7) {
        by_words += counted.words(piece);
        for bit in piece
            .iter()
            .flat_map(|word| (0..32).map(move |k| word << k >> 31 == 1))
        {
            let (found, expected) = (fast.tick(bit), plain.tick(bit));
            prop_assert!(
                (found - expected).abs() < 1e-9,
                "{figures:?}: {found} {expected}"
            );
            prop_assert!((fast.drawn() - plain.drawn()).abs() < 1e-9);
            sum += found;
            plainly += expected;
        }
    }
    for found in [sum, by_words] {
        prop_assert!(
            (found - plainly).abs() <= 1e-9 * plainly,
            "{figures:?}: {found} {plainly}"
        );
    }
    Ok(())
}

/// Runs of ones and zeros of these lengths.
fn stream(runs: &[(u32, u32)]) -> Vec<u32> {
    let runs = runs
        .iter()
        .flat_map(|&(ones, zeros)| [(true, ones), (false, zeros)]);
    let bits: Vec<bool> = runs
        .flat_map(|(bit, ticks)| (0..ticks).map(move |_| bit))
        .collect();
    let word = |bits: &[bool]| {
        let ones = bits.iter().enumerate().filter(|(_, bit)| **bit);
        ones.fold(0, |word, (k, _)| word | 1 << (31 - k))
    };
    bits.chunks(32).map(word).collect()
}

/// Pulses of one length with two kinds of gap, as a first-order stream has them; a few long runs among them.
fn runs() -> impl Strategy<Value = Vec<(u32, u32)>> {
    let lengths = (1..20_u32, 1..60_u32, 0..4_u32);
    let choices = prop::collection::vec((any::<bool>(), 0..40_u32, 1..400_u32), 20..200);
    (lengths, choices).prop_map(|((ones, zeros, more), choices)| {
        let run = |(longer, rare, long): (bool, u32, u32)| match rare {
            0 => (long, zeros),
            1 => (ones, long),
            _ => (ones, if longer { zeros + more } else { zeros }),
        };
        choices.into_iter().map(run).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..cases() })]

    #[test]
    fn pulses_seen_before_are_those_computed_anew(kind in 0..6_usize, runs in runs()) {
        compare(bucks()[kind], &stream(&runs))?;
    }

    /// Any bits: states that never come back.
    #[test]
    fn noise_is_as_computed(kind in 0..6_usize, words in prop::collection::vec(any::<u32>(), 1..60)) {
        compare(bucks()[kind], &words)?;
    }
}

/// More states than are kept, an unbroken 1 whose cycles repeat, and back to the dark.
#[test]
fn long_streams_stay_exact() {
    let mut state = 1_u32;
    let noise: Vec<u32> = (0..2_000)
        .map(|_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            state ^ state >> 15
        })
        .collect();
    let unbroken = vec![u32::MAX; 1_000];
    let pulses: Vec<u32> = (0..2_000).map(|k| u32::from(k % 5 == 0) << 9).collect();
    let words = [noise, unbroken, vec![0; 40], pulses].concat();
    for figures in bucks() {
        compare(figures, &words).unwrap();
    }
}

/// Tracing a tick leaves the memory where it would have been.
#[test]
fn a_traced_tick_is_a_tick() {
    for figures in bucks() {
        let (mut fast, mut plain) = (gated(figures), gated(figures).without_memory());
        for tick in 0..2_000 {
            let bit = tick % 13 < 4 || (500..900).contains(&tick);
            let mut corners = Vec::new();
            let found = match tick % 7 {
                0 => fast.trace(bit, &mut corners),
                _ => fast.tick(bit),
            };
            let expected = plain.tick(bit);
            assert!(
                (found - expected).abs() < 1e-9,
                "{tick} {figures:?}: {found} {expected}"
            );
        }
    }
}
