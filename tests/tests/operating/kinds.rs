//! Luminaires that hold less give the same bits, and refuse what they do not hold.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Channel, Configuration, Luminaire, RangeChoice, Target};
use milliglow::operating::{Settling, Table};
use milliglow::{Error, Knots, Level, Recipe, Share};
use milliglow_tests::cases::cases;
use milliglow_tests::tables::{row, tables};
use proptest::collection::vec;
use proptest::prelude::*;

const FIRST_ORDER: [Modulation; 3] = [Modulation::FirstOrder; 3];

fn curve() -> Curve {
    Curve::Exponential(Exponential::new(1_000, 2_048).expect("allowed"))
}

/// Level, shares, control steps of a fade, control steps to do, and whether it is along knots.
type Move = (u16, [u32; 3], u32, u32, bool);

fn moves() -> impl Strategy<Value = Vec<Move>> {
    let steps = prop_oneof![Just(0), 1_u32..100, 65_530_u32..70_000];
    vec(
        (
            any::<u16>(),
            any::<[u32; 3]>(),
            steps,
            1_u32..40,
            any::<bool>(),
        ),
        1..8,
    )
}

/// All that a luminaire gives on its way.
fn played<'t, C: Channel<'t>>(
    mut luminaire: Luminaire<'t, 3, C>,
    moves: &[Move],
    knots: &'t Knots<3, 2>,
) -> Vec<[u32; 3]> {
    let mut given = Vec::new();
    for &(level, shares, steps, count, along) in moves {
        let (level, pace) = (Level::from_bits(level), Pace::new(steps));
        if along {
            luminaire.fade_along(level, knots.borrowed(), pace);
        } else {
            let recipe = Recipe::new(shares.map(Share::from_bits));
            luminaire.fade_to(&Target { level, recipe }, pace);
        }
        for _ in 0..count {
            luminaire.control_step();
            given.push(luminaire.densities().map(|density| density.to_bits()));
            given.push(luminaire.next_words());
            given.push(luminaire.ranges().map(u32::from));
        }
    }
    given
}

fn knots() -> Knots<3, 2> {
    let at = |level, shares: [u32; 3]| {
        (
            Level::from_bits(level),
            Recipe::new(shares.map(Share::from_bits)),
        )
    };
    Knots::new([
        at(1_000, [u32::MAX, 1 << 30, 0]),
        at(60_000, [1 << 28, u32::MAX, 1 << 31]),
    ])
    .expect("rising")
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn first_order_alone_gives_the_same(table in tables(Modulation::FirstOrder), settling in 0_u8..3, common in any::<bool>(), moves in moves()) {
        let settling = match settling {
            0 => Settling::AtOnce,
            1 => Settling::Dark { words: 2 },
            _ => Settling::Booked { ticks: 20, words: 3 },
        };
        let (table, knots) = (table.with_settling(settling), knots());
        let configuration = Configuration {
            operating: [&table, &Table::PLAIN, &table],
            range_choice: if common { RangeChoice::Common } else { RangeChoice::Own },
            ..Configuration::new(curve(), FIRST_ORDER, 1)
        };
        let any = Luminaire::new(&configuration).expect("a seed");
        let alone = Luminaire::first_order(&configuration).expect("first order");
        prop_assert_eq!(played(any, &moves, &knots), played(alone, &moves, &knots));
    }

    #[test]
    fn a_plain_one_gives_the_same(moves in moves()) {
        let (configuration, knots) = (Configuration::new(curve(), FIRST_ORDER, 1), knots());
        let any = Luminaire::new(&configuration).expect("a seed");
        let plain = Luminaire::plain(&configuration).expect("plain");
        prop_assert_eq!(played(any, &moves, &knots), played(plain, &moves, &knots));
    }
}

#[test]
fn what_it_does_not_hold() {
    let second = Configuration::new(curve(), [Modulation::SecondOrder; 3], 1);
    assert_eq!(
        Luminaire::first_order(&second).err(),
        Some(Error::Modulation)
    );
    assert_eq!(Luminaire::plain(&second).err(), Some(Error::Modulation));
    let losing = |modulation| {
        Table::new(
            &[row(
                milliglow::Light::BLACK,
                1,
                milliglow::density::Stretch::One,
                300,
                modulation,
            )],
            4,
        )
        .expect("a row")
    };
    for (table, modulation, first_order) in [
        (losing(Modulation::FirstOrder), FIRST_ORDER, None),
        (
            losing(Modulation::SecondOrder),
            FIRST_ORDER,
            Some(Error::Correction),
        ),
    ] {
        let configuration = Configuration {
            operating: [&Table::PLAIN, &table, &Table::PLAIN],
            ..Configuration::new(curve(), modulation, 1)
        };
        assert_eq!(Luminaire::first_order(&configuration).err(), first_order);
        assert_eq!(
            Luminaire::plain(&configuration).err(),
            Some(Error::Operating)
        );
    }
}
