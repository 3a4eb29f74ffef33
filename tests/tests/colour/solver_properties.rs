//! What holds of solved shares for any channels and colours.

use milliglow_sim::colour::solver::{Aim, Primaries, Primary, Solved, Wanted, solve};
use milliglow_sim::colour::{Uv, Xy, is_real};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

fn light() -> impl Strategy<Value = Xy> {
    (0.005..0.62_f64, 0.02..0.585_f64)
        .prop_map(|(u, v)| Uv { u, v }.to_xy())
        .prop_filter("a real light", |xy| xy.y > 0.005 && is_real(*xy))
}

fn any_channels() -> impl Strategy<Value = Primaries> {
    let channel = (light(), 1.0..1_000.0_f64, 0.1..20.0_f64);
    prop::collection::vec(channel, 1..=16).prop_filter_map("a gamut", |channels| {
        let primary = |(k, (light, flux_lm, power_w)): (usize, (Xy, f64, f64))| Primary {
            name: k.to_string(),
            light,
            flux_lm,
            power_w: Some(power_w),
        };
        Primaries::new(channels.into_iter().enumerate().map(primary).collect()).ok()
    })
}

fn assert_sound(primaries: &Primaries, found: &Solved) -> Result<(), TestCaseError> {
    let place = primaries.gamut().place(found.asked.to_uv());
    prop_assert!(
        found.shares.iter().all(|share| (0.0..=1.0).contains(share)),
        "{found:?}"
    );
    prop_assert!(
        found.light.to_uv().distance(place.nearest) <= 1e-6,
        "{found:?} {place:?}"
    );
    if found.in_gamut {
        prop_assert!((found.light.x - found.asked.x).abs() <= 1e-6, "{found:?}");
        prop_assert!((found.light.y - found.asked.y).abs() <= 1e-6, "{found:?}");
    }
    prop_assert_eq!(found.in_gamut, place.distance == 0.0);
    Ok(())
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn shares_give_the_colour_for_any_channels(primaries in any_channels(), asked in light(), part in 1e-4..1.0_f64) {
        let most = solve(&primaries, Wanted::Light(asked), Aim::MostFlux).unwrap();
        assert_sound(&primaries, &most)?;
        let inside = most.shares.iter().filter(|share| **share > 0.0 && **share < 1.0).count();
        prop_assert!(inside <= 2, "{most:?}");
        prop_assert!(most.shares.contains(&1.0), "{most:?}");
        let flux_lm = most.flux_lm * part;
        for aim in [Aim::LeastPower(flux_lm), Aim::EvenLoad(flux_lm)] {
            let found = solve(&primaries, Wanted::Light(asked), aim).unwrap();
            assert_sound(&primaries, &found)?;
            prop_assert!((found.flux_lm / flux_lm - 1.0).abs() < 1e-6, "{found:?}");
        }
    }

    /// A colour that shares give is found again, with no less flux.
    #[test]
    fn a_mixture_is_reached_again(primaries in any_channels(), shares in prop::collection::vec(0.0..=1.0_f64, 16)) {
        let mixture = primaries.mixture(&shares);
        prop_assume!(mixture.flux_lm > 0.0);
        let found = solve(&primaries, Wanted::Light(mixture.light.unwrap()), Aim::MostFlux).unwrap();
        prop_assert!(found.in_gamut, "{found:?}");
        prop_assert!(found.flux_lm >= mixture.flux_lm * (1.0 - 1e-6), "{found:?} {mixture:?}");
        assert_sound(&primaries, &found)?;
    }

    #[test]
    fn scaling_all_shares_moves_no_chromaticity(primaries in any_channels(), asked in light(), light in 1e-6..1.0_f64) {
        let found = solve(&primaries, Wanted::Light(asked), Aim::MostFlux).unwrap();
        let dimmed: Vec<f64> = found.shares.iter().map(|share| share * light).collect();
        let mixed = primaries.mixture(&dimmed);
        prop_assert!(mixed.light.unwrap().to_uv().distance(found.light.to_uv()) < 1e-12);
        prop_assert!((mixed.flux_lm / found.flux_lm / light - 1.0).abs() < 1e-12);
    }
}
