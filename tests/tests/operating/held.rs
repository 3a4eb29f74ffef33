//! The fast profile of whole luminaires gives the same words, through changes of row, wake-ups and standing lights.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{DitherWidth, Held, Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::operating::{Settling, Table};
use milliglow::{Level, Light, Recipe, Share};
use milliglow_tests::cases::{cases, fractions, log_uniform};
use milliglow_tests::tables::row;
use proptest::array::uniform4;
use proptest::collection::vec;
use proptest::prelude::*;

const MODULATIONS: [Modulation; 4] = [
    Modulation::FirstOrder,
    Modulation::FirstOrder,
    Modulation::Dithered(DitherWidth::ONE_STEP),
    Modulation::FirstOrder,
];

/// Decisions of one tick below a tenth, of two, four or more above, so that most channels lag.
fn table(above: Stretch, settling: Settling) -> Table {
    let low = row(Light::BLACK, 8, Stretch::One, 0, Modulation::FirstOrder);
    let high = row(
        Light::from_bits(1 << 28),
        1,
        above,
        0,
        Modulation::FirstOrder,
    );
    Table::new(&[low, high], 3)
        .expect("allowed")
        .with_settling(settling)
}

/// A level, shares, control steps on the way and after it.
type Move = (u16, [u32; 4], u32, u32);

fn moves() -> impl Strategy<Value = Vec<Move>> {
    let level = prop_oneof![4 => any::<u16>(), 1 => Just(0)];
    vec(
        (level, uniform4(fractions()), log_uniform(0..=20), 1_u32..20),
        1..5,
    )
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn the_same_words(
        has_table: bool, above in prop_oneof![Just(Stretch::One), Just(Stretch::Two), Just(Stretch::Four), Just(Stretch::Sixteen)],
        dark: bool, moves in moves(), length in prop_oneof![1_usize..140, Just(32), Just(64), Just(128)],
    ) {
        let settling = if dark { Settling::Dark { words: 3 } } else { Settling::AtOnce };
        let table = table(above, settling);
        let curve = Curve::Exponential(Exponential::new(1_000, 2_048).expect("allowed"));
        let mut configuration = Configuration::new(curve, MODULATIONS, 1);
        if has_table {
            configuration.operating = [&table, &table, &Table::PLAIN, &table];
        }
        let mut plain = Luminaire::new(&configuration).expect("allowed");
        let (mut fast, mut held) = (plain.clone(), [const { Held::new() }; 4]);
        let mut expected = [(); 4].map(|()| vec![0; length]);
        let mut halves = [expected.clone(), expected.clone()];
        for (level, shares, on_the_way, standing) in moves {
            let recipe = Recipe::new(shares.map(Share::from_bits));
            let target = Target { level: Level::from_bits(level), recipe };
            for luminaire in [&mut plain, &mut fast] {
                luminaire.fade_to(&target, Pace::new(on_the_way));
            }
            for _ in 0..on_the_way + standing {
                plain.control_step();
                fast.control_step();
                plain.fill(expected.each_mut().map(Vec::as_mut_slice));
                halves.swap(0, 1);
                let [previous, words] = &mut halves;
                fast.fill_held(&mut held, previous.each_ref().map(Vec::as_slice), words.each_mut().map(Vec::as_mut_slice));
                prop_assert_eq!(&*words, &expected);
            }
        }
    }
}
