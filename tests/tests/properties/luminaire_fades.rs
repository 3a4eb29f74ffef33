//! Fades of whole luminaires: even in light, together in time.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Recipe, Share};
use milliglow_tests::cases::{cases, fractions, log_uniform};
use proptest::array::uniform4;
use proptest::prelude::*;

fn curves() -> impl Strategy<Value = Curve> {
    let exponential = (10_u32..=100_000, 0_u16..=4_096).prop_map(|(depth, tail)| {
        Curve::Exponential(Exponential::new(depth, tail).expect("allowed"))
    });
    prop_oneof![
        3 => exponential,
        1 => Just(Curve::Exponential(Exponential::IEC_LOGARITHMIC)),
        1 => Just(Curve::Lightness),
        1 => Just(Curve::Linear),
    ]
}

fn levels() -> impl Strategy<Value = Level> {
    prop_oneof![any::<u16>(), Just(0), Just(u16::MAX), 0..64_u16].prop_map(Level::from_bits)
}

fn recipes() -> impl Strategy<Value = Recipe<4>> {
    uniform4(fractions()).prop_map(|shares| Recipe::new(shares.map(Share::from_bits)))
}

fn luminaire(curve: Curve) -> Luminaire<'static, 4> {
    Luminaire::new(&Configuration::new(curve, [Modulation::FirstOrder; 4], 1)).expect("a seed")
}

/// At a target, without a fade.
fn standing(curve: Curve, target: &Target<4>) -> Luminaire<'static, 4> {
    let mut luminaire = luminaire(curve);
    luminaire.fade_to(target, Pace::AT_ONCE);
    luminaire.control_step();
    luminaire
}

/// What a target is worth, without any wiring.
fn densities_of(curve: Curve, target: &Target<4>) -> [Density; 4] {
    target
        .recipe
        .lights(curve.light(target.level))
        .map(Density::from_light)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn no_channel_ever_moves_the_wrong_way_in_a_fade_of_level(
        curve in curves(), recipe in recipes(), from in levels(), to in levels(),
        steps in log_uniform(1..=u32::MAX),
    ) {
        let mut luminaire = standing(curve, &Target { level: from, recipe });
        luminaire.fade_to(&Target { level: to, recipe }, Pace::new(steps));
        let mut before = luminaire.densities();
        for _ in 0..steps.min(10_000) {
            luminaire.control_step();
            for (now, before) in luminaire.densities().iter().zip(&before) {
                let onward = if to >= from { now >= before } else { now <= before };
                prop_assert!(onward, "{before:?}, then {now:?}");
            }
            before = luminaire.densities();
        }
    }

    #[test]
    fn level_and_shares_arrive_on_the_same_control_step(
        curve in curves(), from in recipes(), to in recipes(), from_level in 1_u16.., level in levels(),
        steps in log_uniform(1..=100_000),
    ) {
        let mut luminaire = standing(curve, &Target { level: Level::from_bits(from_level), recipe: from });
        let target = Target { level, recipe: to };
        luminaire.fade_to(&target, Pace::new(steps));
        (1..steps).for_each(|_| luminaire.control_step());
        prop_assert_eq!(luminaire.remaining(), 1);
        let moving = |from: u32, to: u32| from != to;
        for ((now, from), to) in luminaire.shares().iter().zip(from.shares()).zip(to.shares()) {
            prop_assert_eq!(moving(now.to_bits(), to.to_bits()), moving(from.to_bits(), to.to_bits()));
        }
        prop_assert_eq!(luminaire.level() == level, from_level == level.to_bits());
        luminaire.control_step();
        prop_assert_eq!(luminaire.remaining(), 0);
        prop_assert_eq!((luminaire.level(), &luminaire.shares()), (level, to.shares()));
        prop_assert_eq!(luminaire.densities(), densities_of(curve, &target));
    }

    #[test]
    fn colour_is_there_at_once_in_the_dark(curve in curves(), recipe in recipes(), level in 1_u16.., steps in 1_u32..) {
        let mut luminaire = luminaire(curve);
        luminaire.fade_to(&Target { level: Level::from_bits(level), recipe }, Pace::new(steps));
        prop_assert_eq!(&luminaire.shares(), recipe.shares());
        prop_assert!(luminaire.is_black());
    }

    #[test]
    fn turned_at_any_moment_without_a_jump(
        curve in curves(), from in recipes(), to in recipes(), then in recipes(),
        levels in [levels(), levels(), levels()], steps in 1_u32..5_000, part in 0.0..=1.0, then_steps in 1_u32..5_000,
    ) {
        let mut luminaire = standing(curve, &Target { level: levels[0], recipe: from });
        luminaire.fade_to(&Target { level: levels[1], recipe: to }, Pace::new(steps));
        (0..(f64::from(steps) * part) as u32).for_each(|_| luminaire.control_step());
        let (level, shares, densities) = (luminaire.level(), luminaire.shares(), luminaire.densities());
        let last = Target { level: levels[2], recipe: then };
        luminaire.fade_to(&last, Pace::new(then_steps));
        prop_assert_eq!((luminaire.level(), luminaire.densities()), (level, densities));
        prop_assert!(level == Level::OFF || luminaire.shares() == shares);
        (0..then_steps).for_each(|_| luminaire.control_step());
        prop_assert_eq!(luminaire.densities(), densities_of(curve, &last));
    }

    #[test]
    fn a_pause_holds_level_and_shares(
        curve in curves(), from in recipes(), to in recipes(), level in 1_u16.., to_level in levels(), steps in 2_u32..2_000,
    ) {
        let mut luminaire = standing(curve, &Target { level: Level::from_bits(level), recipe: from });
        luminaire.fade_to(&Target { level: to_level, recipe: to }, Pace::new(steps));
        (0..steps / 2).for_each(|_| luminaire.control_step());
        let held = (luminaire.level(), luminaire.shares(), luminaire.remaining());
        luminaire.pause();
        (0..50).for_each(|_| luminaire.control_step());
        prop_assert_eq!((luminaire.level(), luminaire.shares(), luminaire.remaining()), held);
        luminaire.resume();
        (0..held.2).for_each(|_| luminaire.control_step());
        prop_assert_eq!((luminaire.level(), &luminaire.shares()), (to_level, to.shares()));
    }
}
