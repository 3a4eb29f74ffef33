//! Corrected shares against the same in f64.

use super::{celsius, channel, factor};
use milliglow::flux_correction::{
    Channel, Configuration, Estimator, Factor, FluxTable, Heating, Temperature,
};
use milliglow::{Light, Recipe, Share};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

/// 4 fluxes over 25 to 145 degrees Celsius, and their straight lines.
fn line(fluxes: [f64; 4], at: f64) -> f64 {
    let place = ((at - 25.0) / 40.0).clamp(0.0, 3.0);
    let below = (place.floor() as usize).min(2);
    let part = place - below as f64;
    fluxes[below] + (fluxes[below + 1] - fluxes[below]) * part
}

fn made(fluxes: [f64; 4], bin: f64) -> Channel {
    let knots: Vec<_> = (0..4)
        .map(|k| (25.0 + 40.0 * k as f64, fluxes[k]))
        .collect();
    channel(&knots, bin, 10_000)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn shares_are_those_of_the_fluxes(
        fluxes in any::<[[u8; 4]; 3]>(), bins in any::<[u8; 3]>(), shares in any::<[u32; 3]>(),
        board in -40_i32 * 64..=150 * 64,
    ) {
        let fluxes = fluxes.map(|of| of.map(|flux| 0.1 + f64::from(flux) * 0.01));
        let bins = bins.map(|bin| 0.5 + f64::from(bin) * 0.004);
        let channels = [0, 1, 2].map(|k| made(fluxes[k], bins[k]));
        let board = Temperature::from_bits(board as i16);
        let configuration = Configuration::new(channels, 100, celsius(25.0)).unwrap();
        let mut estimator = Estimator::new(&configuration);
        estimator.step(Some(board), &[Light::BLACK; 3]);
        let given = estimator.correct(&Recipe::new(shares.map(Share::from_bits)));

        let asked = shares.map(|share| Share::from_bits(share).as_f64());
        let lifted = [0, 1, 2].map(|k| asked[k] / (bins[k] * line(fluxes[k], board.as_celsius())));
        let whole = lifted.iter().copied().fold(1.0, f64::max);
        for (k, (given, lifted)) in given.shares().iter().zip(lifted).enumerate() {
            let (given, exact) = (given.as_f64(), lifted / whole);
            // A flux is within 1e-6 of 0.1 as it is written, and lines within 2^-16 of a knot's difference.
            prop_assert!((given - exact).abs() <= exact * 4e-4 + 2e-8, "{k}: {given} {exact}");
        }
        let largest = given.shares().iter().max().unwrap();
        if whole > 1.0 {
            prop_assert!(largest.as_f64() > 1.0 - 1e-6);
        }
    }

    #[test]
    fn nothing_to_correct_changes_nothing(shares in any::<[u32; 4]>()) {
        let configuration = Configuration::new([Channel::PLAIN; 4], 100, celsius(25.0)).unwrap();
        let recipe = Recipe::new(shares.map(Share::from_bits));
        prop_assert_eq!(Estimator::new(&configuration).correct(&recipe), recipe);
    }

    #[test]
    fn a_channel_at_full_lowers_all_alike(share in 1_u32 << 16.., bin in 100_000_u32..1_000_000) {
        let bin = f64::from(bin) / 1e6;
        let heating = Heating { milliwatts: 0, millikelvin_per_watt: 0, time_constant_ms: 100 };
        let weak = Channel::new(FluxTable::STEADY, factor(bin), heating).unwrap();
        let configuration = Configuration::new([weak, Channel::PLAIN], 100, celsius(25.0)).unwrap();
        let recipe = Recipe::new([Share::FULL, Share::from_bits(share)]);
        let given = Estimator::new(&configuration).correct(&recipe);
        prop_assert!(given.shares()[0].as_f64() > 1.0 - 1e-7);
        let exact = Share::from_bits(share).as_f64() * bin;
        prop_assert!((given.shares()[1].as_f64() - exact).abs() < exact * 1e-7 + 1e-8);
    }
}

#[test]
fn straight_lines_at_every_temperature() {
    let knots = [(-20.0, 1.6), (25.0, 1.0), (60.0, 0.69), (125.0, 0.35)];
    let table = super::table(&knots);
    for bits in i16::MIN..=i16::MAX {
        let at = Temperature::from_bits(bits);
        let celsius = at.as_celsius().clamp(-20.0, 125.0);
        let pair = knots.windows(2).find(|pair| celsius <= pair[1].0).unwrap();
        let part = (celsius - pair[0].0) / (pair[1].0 - pair[0].0);
        let exact = pair[0].1 + (pair[1].1 - pair[0].1) * part;
        let bound = (pair[0].1 - pair[1].1) / 65_536.0 + 2.0_f64.powi(-28);
        let error = (table.flux(at).as_f64() - exact).abs();
        assert!(error <= bound, "{celsius}: {error} {bound}");
    }
    assert_eq!(FluxTable::STEADY.flux(celsius(90.0)), Factor::ONE);
}
