//! Which row is in force.

use milliglow::Light;
use milliglow::density::{Modulation, Stretch};
use milliglow::operating::{Row, Table};
use milliglow_tests::cases::{cases, fractions};
use milliglow_tests::tables::row;
use proptest::collection::vec;
use proptest::prelude::*;

fn rows(from: &[u32]) -> Vec<Row> {
    let plain = |&from| {
        row(
            Light::from_bits(from),
            1,
            Stretch::One,
            0,
            Modulation::FirstOrder,
        )
    };
    from.iter().map(plain).collect()
}

proptest! {
    #![proptest_config(cases())]

    /// The highest row that begins at or below the light, or the one in force while the light is in its hysteresis.
    #[test]
    fn upwards_at_once_and_downwards_below_the_hysteresis(
        mut from in vec(1_u32.., 0..8), shift in 1_u8..=15, lights in vec(fractions(), 1..50),
    ) {
        from.push(0);
        from.sort_unstable();
        from.dedup();
        let table = Table::new(&rows(&from), shift).unwrap();
        let mut present = 0;
        for light in lights {
            let up = from.iter().rposition(|&from| from <= light).unwrap();
            let held = (0..=usize::from(present)).rev().find(|&k| light >= from[k] - (from[k] >> shift));
            present = table.row(Light::from_bits(light), present);
            prop_assert_eq!(usize::from(present), up.max(held.unwrap()));
        }
    }
}

#[test]
fn rows_are_had_back_and_the_last_for_any_higher_number() {
    let rows = rows(&[0, 1 << 16, 1 << 24]);
    let table = Table::new(&rows, 4).unwrap();
    assert!(table.rows().eq(&rows));
    assert_eq!(
        (table.at(2), table.at(3), table.at(255)),
        (&rows[2], &rows[2], &rows[2])
    );
    assert_eq!(table.row(Light::FULL, 200), 2);
}

#[test]
fn shortest_and_longest() {
    let of = |from, ticks| {
        row(
            Light::from_bits(from),
            1,
            Stretch::from_ticks(ticks).unwrap(),
            0,
            Modulation::FirstOrder,
        )
    };
    let table = Table::new(&[of(0, 2), of(1 << 20, 8), of(1 << 28, 4)], 4).unwrap();
    assert_eq!(
        (table.shortest_ticks(), table.longest()),
        (2, Stretch::Eight)
    );
    assert_eq!(
        (Table::PLAIN.shortest_ticks(), Table::PLAIN.longest()),
        (1, Stretch::One)
    );
}
