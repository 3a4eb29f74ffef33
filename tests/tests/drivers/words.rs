//! Words at a time against ticks one by one.

use milliglow_sim::optics::drivers::{
    Driver, Exponential, ExponentialFigures, Gated, Slew, SlewFigures,
};
use milliglow_tests::cases::cases;
use milliglow_tests::stream::ticks;
use proptest::prelude::*;

const TICK_S: f64 = 1e-6;

/// Slew-limited sources of all kinds, their times in ticks.
fn slews() -> impl Strategy<Value = Driver> {
    let ticks = 0.0..=3.0_f64;
    let figures = (
        ticks.clone(),
        ticks.clone(),
        ticks.clone(),
        ticks,
        0.0..=0.5,
    );
    figures.prop_map(|(rise, fall, on, off, charge)| {
        Driver::Slew(
            Slew::new(SlewFigures {
                rise_s: rise * TICK_S,
                fall_s: fall * TICK_S,
                turn_on_delay_s: on * TICK_S,
                turn_off_delay_s: off * TICK_S,
                turn_on_charge_s: charge * TICK_S,
                line_sensitivity: 0.0,
            })
            .unwrap(),
        )
    })
}

/// Exponential edges, equal and unequal, some over within a tick.
fn exponentials() -> impl Strategy<Value = Driver> {
    let constants = prop_oneof![
        (0.0..=0.04, 0.0..=0.04),
        (0.1..=3.0_f64).prop_map(|both| (both, both))
    ];
    (constants, 0.0..=2.0, 0.0..=2.0).prop_map(|((rise, fall), on, off)| {
        let figures = ExponentialFigures {
            rise_constant_s: rise * TICK_S,
            fall_constant_s: fall * TICK_S,
            turn_on_delay_s: on * TICK_S,
            turn_off_delay_s: off * TICK_S,
            line_sensitivity: 0.0,
        };
        Driver::Exponential(Exponential::new(figures).unwrap())
    })
}

/// Words whose runs are multiples of `stretch` ticks.
fn stretched(bits: &[bool], stretch: usize) -> Vec<u32> {
    let all: Vec<bool> = bits
        .iter()
        .flat_map(|&bit| std::iter::repeat_n(bit, stretch))
        .collect();
    all.chunks_exact(32)
        .map(|word| word.iter().fold(0, |word, &bit| word << 1 | u32::from(bit)))
        .collect()
}

proptest! {
    #![proptest_config(cases())]

    /// Pieces of any length, the state right after each of them, whether the edges are whole or not.
    #[test]
    fn equal_the_sum_of_their_ticks(
        driver in prop_oneof![slews(), exponentials()],
        bits in prop::collection::vec(any::<bool>(), 400),
        stretch in prop_oneof![Just(1_u32), Just(2), Just(4), Just(8)],
        piece in 1_usize..12,
    ) {
        let words = stretched(&bits, stretch as usize);
        let mut at_once = Gated::whatever_the_rise(&driver, TICK_S, stretch).unwrap();
        let mut one_by_one = at_once.clone();
        for piece in words.chunks(piece) {
            let found = at_once.words(piece);
            let expected: f64 = ticks(piece).map(|on| one_by_one.tick(on)).sum();
            prop_assert!((found - expected).abs() < 1e-9, "{} {}", found, expected);
        }
        prop_assert!((at_once.tick(false) - one_by_one.tick(false)).abs() < 1e-9);
    }

    /// What is left of any stream is its ones less the loss at each rising edge, once the edges are whole.
    #[test]
    fn lose_the_same_at_each_edge(driver in slews(), bits in prop::collection::vec(any::<bool>(), 400)) {
        let mut gated = Gated::whatever_the_rise(&driver, TICK_S, 4).unwrap();
        let loss = gated.edge_loss();
        prop_assume!(loss.is_some());
        let mut words = stretched(&bits, 4);
        words.push(0);
        let edges = ticks(&words).fold((0, false), |(edges, last), on| (edges + u32::from(on && !last), on)).0;
        let ones: u32 = words.iter().map(|word| word.count_ones()).sum();
        let expected = f64::from(ones) - loss.unwrap() * f64::from(edges);
        prop_assert!((gated.words(&words) - expected).abs() < 1e-9);
    }
}

/// Both sides of the limit where edges stop to add up.
#[test]
fn edges_are_whole_from_the_rise_time_on() {
    let driver = |rise_s| {
        Driver::Slew(
            Slew::new(SlewFigures {
                rise_s,
                ..SlewFigures::default()
            })
            .unwrap(),
        )
    };
    let loss = |rise_s| {
        Gated::whatever_the_rise(&driver(rise_s), TICK_S, 1)
            .unwrap()
            .edge_loss()
    };
    assert_eq!(loss(TICK_S), Some(0.5));
    assert_eq!(loss(TICK_S * 1.001), None);
    assert!(Gated::new(&driver(TICK_S), TICK_S, 1).is_ok());
    assert!(Gated::new(&driver(TICK_S * 1.001), TICK_S, 1).is_err());
    assert!(Gated::new(&driver(TICK_S * 1.001), TICK_S, 2).is_ok());
}
