//! Junctions against the exponential in f64, and what a lost temperature does.

use super::{celsius, channel};
use milliglow::Light;
use milliglow::flux_correction::{Configuration, Estimator, Temperature};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

const FLAT: [(f64, f64); 1] = [(25.0, 1.0)];

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn a_junction_follows_its_power(
        lights in prop::collection::vec(any::<u32>(), 1..60),
        time_constant_ms in 100_u32..100_000, period_ms in 100_u32..1_000, board in -40.0..150.0,
    ) {
        let time_constant_ms = time_constant_ms.max(period_ms);
        let configuration =
            Configuration::new([channel(&FLAT, 1.0, time_constant_ms)], period_ms, celsius(25.0)).unwrap();
        let mut estimator = Estimator::new(&configuration);
        let mut rise = 0.0;
        for light in lights {
            let light = Light::from_bits(light);
            estimator.step(Some(celsius(board)), &[light]);
            let part = -(-f64::from(period_ms) / f64::from(time_constant_ms)).exp_m1();
            rise += (30.0 * light.as_f64() - rise) * part;
            let error = estimator.junctions()[0].as_celsius() - (board + rise);
            prop_assert!(error.abs() <= 1.0 / 32.0, "{error} K");
        }
    }
}

#[test]
fn a_slow_junction_arrives_within_a_hundredth_of_a_kelvin() {
    let configuration =
        Configuration::new([channel(&FLAT, 1.0, 1_000_000)], 100, celsius(25.0)).unwrap();
    let mut estimator = Estimator::new(&configuration);
    for _ in 0..150_000 {
        estimator.step(Some(celsius(30.0)), &[Light::FULL]);
    }
    assert!((estimator.junctions()[0].as_celsius() - 60.0).abs() <= 1.0 / 64.0);
    estimator.settle(Some(celsius(30.0)), &[Light::BLACK]);
    assert_eq!(estimator.junctions()[0], celsius(30.0));
}

#[test]
fn what_is_lost_or_absurd_counts_and_the_board_drifts() {
    let configuration =
        Configuration::new([channel(&FLAT, 1.0, 1_000)], 100, celsius(45.0)).unwrap();
    let mut estimator = Estimator::new(&configuration);
    let dark = [Light::BLACK];
    assert_eq!(estimator.board(), celsius(45.0));
    for (count, board) in [None, Some(-40.1), Some(150.1), Some(350.0), Some(-60.0)]
        .into_iter()
        .enumerate()
    {
        estimator.step(Some(celsius(20.0)), &dark);
        assert_eq!(
            (estimator.board(), estimator.lost_inputs()),
            (celsius(20.0), count as u16)
        );
        estimator.step(board.map(celsius), &dark);
        assert_eq!(
            (estimator.board(), estimator.lost_inputs()),
            (celsius(20.25), count as u16 + 1)
        );
    }
    // The fallback is reached in 99 steps more and held; what is measured then, in 100.
    (0..98).for_each(|_| estimator.step(None, &dark));
    assert_eq!(estimator.board(), celsius(44.75));
    (0..70_000).for_each(|_| estimator.step(None, &dark));
    assert_eq!(
        (estimator.board(), estimator.lost_inputs()),
        (celsius(45.0), u16::MAX)
    );
    (0..99).for_each(|_| estimator.step(Some(celsius(20.0)), &dark));
    assert_eq!(estimator.board(), celsius(20.25));
    for edge in [
        celsius(20.0),
        Temperature::LOWEST_BOARD,
        Temperature::HIGHEST_BOARD,
    ] {
        estimator.step(Some(edge), &dark);
        assert_eq!(estimator.board(), edge, "measured without a gap");
    }
}
