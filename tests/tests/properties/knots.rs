//! A recipe as a function of Level: on its straight lines at every Level, exact at the knots.

use milliglow::{Error, Knots, Level, Recipe, Share};

/// What `core/src/knots.rs` states: a part of the difference of two shares, and units of 2^-32.
const PART: f64 = 1.0 / 131_072.0;
const UNITS: f64 = 2.0;

type Table<const K: usize> = [(u16, [u32; 3]); K];

fn knots<const K: usize>(table: Table<K>) -> Result<Knots<3, K>, Error> {
    let knot = |(level, shares): (u16, [u32; 3])| {
        (
            Level::from_bits(level),
            Recipe::new(shares.map(Share::from_bits)),
        )
    };
    Knots::new(table.map(knot))
}

/// The exact line through a table at a Level, and the difference that its segment spans.
fn line<const K: usize>(table: &Table<K>, level: u16, channel: usize) -> (f64, f64) {
    let above = table.iter().position(|(at, _)| level < *at).unwrap_or(K);
    let value = |k: usize| f64::from(table[k].1[channel]);
    if above == 0 || above == K {
        return (value(above.saturating_sub(1)), 0.0);
    }
    let (from, to) = (f64::from(table[above - 1].0), f64::from(table[above].0));
    let part = (f64::from(level) - from) / (to - from);
    let (low, high) = (value(above - 1), value(above));
    (low + (high - low) * part, high - low)
}

fn assert_on_lines<const K: usize>(table: Table<K>) {
    let knots = knots(table).unwrap();
    let mut worst = 0.0_f64;
    for level in 0..=u16::MAX {
        let shares = *knots.recipe(Level::from_bits(level)).shares();
        for (channel, share) in shares.iter().enumerate() {
            let (exact, difference) = line(&table, level, channel);
            let error = (f64::from(share.to_bits()) - exact).abs();
            let allowed = PART * difference.abs() + UNITS;
            assert!(
                error <= allowed,
                "Level {level}, channel {channel}: {error} units off"
            );
            if difference != 0.0 {
                worst = worst.max((error - UNITS).max(0.0) / difference.abs());
            }
        }
    }
    println!("worst: 2^{:.2} of the difference", worst.log2());
    for (level, shares) in table {
        let found = knots.recipe(Level::from_bits(level));
        assert_eq!(
            found.shares().map(Share::to_bits),
            shares,
            "knot at Level {level}"
        );
    }
}

const FULL: u32 = u32::MAX;

#[test]
fn shares_stay_on_their_lines_at_every_level() {
    assert_on_lines([(0, [0, FULL, 7]), (65_535, [FULL, 0, FULL])]);
    assert_on_lines([
        (4_096, [FULL, 1 << 20, 0]),
        (30_427, [3 << 30, 1 << 30, 5]),
        (65_535, [1 << 31, FULL, 0]),
    ]);
    assert_on_lines([
        (17, [0, FULL, 1]),
        (18, [FULL, 0, 2]),
        (20, [0, 9, FULL]),
        (43_691, [FULL, 8, FULL - 1]),
    ]);
    assert_on_lines([(32_768, [123, 456, FULL])]);
    // As many knots as there may be, on segments of all lengths.
    assert_on_lines(std::array::from_fn::<_, 16, _>(|k| {
        let level = (k * k * 291) as u16;
        (
            level,
            [
                (k as u32) << 28,
                FULL - ((k as u32) << 27),
                (k as u32).wrapping_mul(2_654_435_761) | 1,
            ],
        )
    }));
    for odd in [65_534, 65_533, 64_007, 61_441, 43_690, 32_767] {
        assert_on_lines([(0, [FULL, 0, 1 << 31]), (odd, [0, FULL, 0])]);
    }
}

#[test]
fn between_two_knots_a_share_never_turns_round() {
    let knots = knots([(100, [0, FULL, 5]), (60_001, [FULL, 0, 5])]).unwrap();
    let mut before = *knots.recipe(Level::OFF).shares();
    for level in 1..=u16::MAX {
        let here = *knots.recipe(Level::from_bits(level)).shares();
        assert!(here[0] >= before[0] && here[1] <= before[1] && here[2] == before[2]);
        before = here;
    }
}

#[test]
fn levels_must_rise_and_knots_be_few() {
    assert_eq!(knots::<0>([]), Err(Error::Knots));
    assert_eq!(knots([(5, [0; 3]), (5, [1; 3])]), Err(Error::Knots));
    assert_eq!(
        knots([(5, [0; 3]), (9, [1; 3]), (6, [1; 3])]),
        Err(Error::Knots)
    );
    let many = std::array::from_fn::<_, 17, _>(|k| (k as u16, [0; 3]));
    assert_eq!(knots(many), Err(Error::Knots));
    assert!(knots::<16>(std::array::from_fn(|k| many[k])).is_ok());
    assert_eq!(
        (Error::Knots.parameter(), Error::Primaries.parameter()),
        ("knots", "primaries")
    );
}
