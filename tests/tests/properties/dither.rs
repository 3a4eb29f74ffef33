//! Dither moves pulses and leaves the mean alone.

use milliglow::density::{Density, DitherWidth, Modulation};
use milliglow_tests::cases::{cases, dither_widths};
use milliglow_tests::stream::{Ledger, PULSE, exact, ticks};
use proptest::prelude::*;

const WORDS: usize = 512;

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn mean_is_that_of_the_density(phase: u32, seed: u32, bits: u32, width in dither_widths()) {
        let density = Density::from_bits(bits);
        let words = Ledger::new(Modulation::Dithered(width), phase, seed).draw(density, WORDS);
        let ones = ticks(&words).filter(|&one| one).count() as i64;
        prop_assert!((ones * PULSE - exact(density) * 32 * WORDS as i64).abs() <= 3 * PULSE / 2);
    }

    #[test]
    fn pulses_move(phase: u32, seed: u32, density in 0.02..0.98) {
        let density = Density::from_bits((density * 4_294_967_296.0) as u32);
        let plain = Ledger::new(Modulation::FirstOrder, phase, seed).draw(density, WORDS);
        let moved = |width| {
            let words = Ledger::new(Modulation::Dithered(width), phase, seed).draw(density, WORDS);
            plain.iter().zip(&words).map(|(plain, dithered)| (plain ^ dithered).count_ones()).sum::<u32>()
        };
        // Half of the rarer ticks moved is more than rounding a phase by half a pulse could do to a few.
        let rarer = density.as_f64().min(1.0 - density.as_f64()) * 32.0 * WORDS as f64;
        prop_assert!(f64::from(moved(DitherWidth::ONE_STEP)) > 0.5 * rarer);
    }

    #[test]
    fn wider_dither_spreads_gaps_wider(phase: u32, seed: u32, gap in 8_u32..32) {
        let density = Density::from_bits(u32::MAX / gap);
        let spread = |shift| {
            let width = DitherWidth::new(shift).unwrap();
            let words = Ledger::new(Modulation::Dithered(width), phase, seed).draw(density, WORDS);
            let places: Vec<usize> = ticks(&words).enumerate().filter_map(|(k, one)| one.then_some(k)).collect();
            let gaps = places.windows(2).map(|pair| pair[1] - pair[0]);
            gaps.clone().max().unwrap() - gaps.min().unwrap()
        };
        prop_assert!(spread(0) > spread(2) && spread(2) >= spread(8));
        prop_assert!(spread(0) > gap as usize / 2);
    }
}
