//! The cap on power.

use super::celsius;
use milliglow::flux_correction::{Channel, Configuration, Estimator, Factor, FluxTable, Heating};
use milliglow::{Recipe, Share};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

fn powered(milliwatts: u32) -> Channel {
    let heating = Heating {
        milliwatts,
        millikelvin_per_watt: 0,
        time_constant_ms: 1_000,
    };
    Channel::new(FluxTable::STEADY, Factor::ONE, heating).unwrap()
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn the_power_keeps_its_cap_and_the_colour_stays(
        milliwatts in prop::array::uniform5(1_u32..10_000_000), shares in any::<[u32; 5]>(), cap in 0.01_f64..1.2,
    ) {
        let total: u32 = milliwatts.iter().sum();
        let cap = (f64::from(total) * cap).ceil();
        let configuration = Configuration::new(milliwatts.map(powered), 100, celsius(25.0))
            .and_then(|plain| plain.with_power_cap(cap as u32))
            .unwrap();
        let recipe = Recipe::new(shares.map(Share::from_bits));
        let given = Estimator::new(&configuration).correct(&recipe);
        let power = |recipe: &Recipe<5>| -> f64 {
            recipe.shares().iter().zip(milliwatts).map(|(share, mw)| share.as_f64() * f64::from(mw)).sum()
        };
        let asked = power(&recipe);
        prop_assert!(power(&given) <= cap * (1.0 + 2e-6), "{} {cap}", power(&given));
        if asked <= cap * (1.0 - 1e-6) {
            prop_assert_eq!(given, recipe);
        } else {
            prop_assert!(power(&given) > cap * (1.0 - 4e-6), "{} {cap}", power(&given));
        }
        let part = power(&given) / asked;
        for (given, asked) in given.shares().iter().zip(recipe.shares()) {
            let exact = asked.as_f64() * part;
            prop_assert!((given.as_f64() - exact).abs() <= exact * 1e-6 + 1e-9);
        }
    }
}
