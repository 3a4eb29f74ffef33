//! Luminaires whose colour is a function of Level: on the knots in every control step, together with the Level at the end.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Knots, Level, Recipe, Share};
use milliglow_tests::cases::{cases, fractions, log_uniform};
use proptest::array::uniform3;
use proptest::collection::{btree_set, vec};
use proptest::prelude::*;

/// What `core/src/knots.rs` states of a share, and `Luminaire::fade_along` adds for the light, in units of 2^-32.
const PART: f64 = 1.0 / 131_072.0;
const SHARE_UNITS: f64 = 2.0;
const LIGHT_UNITS: f64 = 2.0;

type Written = Vec<(u16, [u32; 3])>;

fn curve() -> Curve {
    Curve::Exponential(Exponential::new(1_000, 2_048).expect("allowed"))
}

fn written() -> impl Strategy<Value = Written> {
    (
        btree_set(any::<u16>(), 2..=16),
        vec(uniform3(fractions()), 16),
    )
        .prop_map(|(levels, shares)| levels.into_iter().zip(shares).collect())
}

fn knots(written: &Written) -> Knots<3, 16> {
    let knot = |k: usize| {
        let (level, shares) = written[k.min(written.len() - 1)];
        (
            Level::from_bits(level),
            Recipe::new(shares.map(Share::from_bits)),
        )
    };
    Knots::of_first(std::array::from_fn(knot), written.len()).expect("rising Levels")
}

/// The exact share at a Level, and the difference that its straight line spans.
fn line(written: &Written, level: u16, channel: usize) -> (f64, f64) {
    let share = |k: usize| f64::from(written[k].1[channel]);
    match written.iter().position(|(at, _)| level < *at) {
        None => (share(written.len() - 1), 0.0),
        Some(0) => (share(0), 0.0),
        Some(above) => {
            let (from, to) = (f64::from(written[above - 1].0), f64::from(written[above].0));
            let difference = share(above) - share(above - 1);
            let part = (f64::from(level) - from) / (to - from);
            (share(above - 1) + difference * part, difference.abs())
        }
    }
}

/// In the dark.
fn dark() -> Luminaire<'static, 3> {
    Luminaire::new(&Configuration::new(curve(), [Modulation::FirstOrder; 3], 1)).expect("a seed")
}

fn standing_on<'t>(knots: &'t Knots<3, 16>, level: Level) -> Luminaire<'t, 3> {
    let mut luminaire = dark();
    luminaire.fade_along(level, knots.borrowed(), Pace::AT_ONCE);
    luminaire.control_step();
    luminaire
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn a_fade_of_level_is_on_the_knots_in_every_control_step(
        written in written(), from in any::<u16>(), to in any::<u16>(), steps in log_uniform(1..=5_000),
    ) {
        let knots = knots(&written);
        let mut luminaire = standing_on(&knots, Level::from_bits(from));
        luminaire.fade_along(Level::from_bits(to), knots.borrowed(), Pace::new(steps));
        for _ in 0..steps {
            luminaire.control_step();
            prop_assert_eq!(Recipe::new(luminaire.shares()), knots.recipe(luminaire.level()));
        }
        prop_assert_eq!((luminaire.level().to_bits(), luminaire.remaining()), (to, 0));
    }

    #[test]
    fn light_is_share_of_the_level_times_light(written in written(), level in any::<u16>()) {
        let knots = knots(&written);
        let luminaire = standing_on(&knots, Level::from_bits(level));
        let light = curve().light(Level::from_bits(level)).as_f64();
        for (channel, density) in luminaire.densities().iter().enumerate() {
            let (share, difference) = line(&written, level, channel);
            let off = (f64::from(density.to_bits()) - share * light).abs();
            let stated = (PART * difference + SHARE_UNITS) * light + LIGHT_UNITS;
            prop_assert!(off <= stated, "channel {channel}: {off} units, stated {stated}");
        }
    }

    #[test]
    fn channels_whose_shares_rise_with_the_level_never_move_the_wrong_way(
        mut written in written(), from in any::<u16>(), to in any::<u16>(), steps in log_uniform(1..=5_000),
    ) {
        for channel in 0..3 {
            let mut rising: Vec<u32> = written.iter().map(|(_, shares)| shares[channel]).collect();
            rising.sort_unstable();
            written.iter_mut().zip(rising).for_each(|((_, shares), share)| shares[channel] = share);
        }
        let knots = knots(&written);
        let mut luminaire = standing_on(&knots, Level::from_bits(from));
        luminaire.fade_along(Level::from_bits(to), knots.borrowed(), Pace::new(steps));
        let mut before = luminaire.densities();
        for _ in 0..steps {
            luminaire.control_step();
            for (now, before) in luminaire.densities().iter().zip(&before) {
                let onward = if to >= from { now >= before } else { now <= before };
                prop_assert!(onward, "{before:?}, then {now:?}");
            }
            before = luminaire.densities();
        }
    }

    #[test]
    fn from_another_colour_shares_and_level_arrive_on_the_same_control_step_and_follow_from_there(
        written in written(), from in uniform3(fractions()), from_level in 1_u16.., to in any::<u16>(), then in any::<u16>(),
        steps in log_uniform(2..=20_000),
    ) {
        let knots = knots(&written);
        let (from, to) = (Recipe::new(from.map(Share::from_bits)), Level::from_bits(to));
        let goal = knots.recipe(to);
        let mut luminaire = dark();
        luminaire.fade_to(&Target { level: Level::from_bits(from_level), recipe: from }, Pace::AT_ONCE);
        luminaire.control_step();
        luminaire.fade_along(to, knots.borrowed(), Pace::new(steps));
        prop_assert_eq!(&luminaire.shares(), from.shares());
        (1..steps).for_each(|_| luminaire.control_step());
        prop_assert_eq!(luminaire.remaining(), 1);
        for ((now, from), goal) in luminaire.shares().iter().zip(from.shares()).zip(goal.shares()) {
            prop_assert_eq!(now == goal, from == goal);
        }
        prop_assert_eq!(luminaire.level() == to, from_level == to.to_bits());
        luminaire.control_step();
        prop_assert_eq!((luminaire.level(), luminaire.remaining()), (to, 0));
        prop_assert_eq!(Recipe::new(luminaire.shares()), goal);
        luminaire.fade_along(Level::from_bits(then), knots.borrowed(), Pace::new(3));
        for _ in 0..3 {
            luminaire.control_step();
            prop_assert_eq!(Recipe::new(luminaire.shares()), knots.recipe(luminaire.level()));
        }
    }

    #[test]
    fn turned_at_any_moment_without_a_jump(
        written in written(), others in written(), plain in uniform3(fractions()), levels in uniform3(1_u16..),
        steps in 1_u32..2_000, part in 0.0..=1.0,
    ) {
        let (knots, others) = (knots(&written), knots(&others));
        let [first, second, third] = levels.map(Level::from_bits);
        let plain = Target { level: third, recipe: Recipe::new(plain.map(Share::from_bits)) };
        let mut luminaire = standing_on(&knots, first);
        luminaire.fade_along(second, others.borrowed(), Pace::new(steps));
        (0..(f64::from(steps) * part) as u32).for_each(|_| luminaire.control_step());
        let shares = luminaire.shares();
        luminaire.fade_along(third, knots.borrowed(), Pace::new(steps));
        prop_assert_eq!(luminaire.shares(), shares);
        (0..steps).for_each(|_| luminaire.control_step());
        prop_assert_eq!(Recipe::new(luminaire.shares()), knots.recipe(third));
        let shares = luminaire.shares();
        luminaire.fade_to(&plain, Pace::new(steps));
        prop_assert_eq!(luminaire.shares(), shares);
        (0..steps + 5).for_each(|_| luminaire.control_step());
        prop_assert_eq!(&luminaire.shares(), plain.recipe.shares());
    }

    #[test]
    fn a_pause_holds_a_colour_that_follows(written in written(), from in any::<u16>(), to in any::<u16>(), steps in 2_u32..2_000) {
        let knots = knots(&written);
        let mut luminaire = standing_on(&knots, Level::from_bits(from));
        luminaire.fade_along(Level::from_bits(to), knots.borrowed(), Pace::new(steps));
        (0..steps / 2).for_each(|_| luminaire.control_step());
        let held = (luminaire.level(), luminaire.shares(), luminaire.remaining());
        luminaire.pause();
        (0..50).for_each(|_| luminaire.control_step());
        prop_assert_eq!((luminaire.level(), luminaire.shares(), luminaire.remaining()), held);
        luminaire.resume();
        (0..held.2).for_each(|_| luminaire.control_step());
        prop_assert_eq!(Recipe::new(luminaire.shares()), knots.recipe(Level::from_bits(to)));
    }
}
