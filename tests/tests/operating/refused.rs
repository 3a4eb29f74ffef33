//! What a table refuses, by the parameter's name.

use milliglow::curve::Curve;
use milliglow::density::{Modulation, Stretch};
use milliglow::luminaire::{Configuration, Luminaire};
use milliglow::operating::{EdgeLoss, EdgeTimes, RangeRatio, Row, RowSetting, Table};
use milliglow::requantise::{Order, TimerPwm};
use milliglow::{Error, Light};
use milliglow_tests::tables::row;

fn plain(from: u32) -> Row {
    of_ratio(from, 1)
}

fn of_ratio(from: u32, ratio: u32) -> Row {
    row(
        Light::from_bits(from),
        ratio,
        Stretch::One,
        0,
        Modulation::FirstOrder,
    )
}

#[test]
fn tables() {
    let refused = |rows: &[Row], shift| Table::new(rows, shift).expect_err("to be refused");
    assert_eq!(refused(&[], 4), Error::Rows);
    assert_eq!(
        refused(&[0, 1, 2, 3, 4, 5, 6, 7, 8].map(plain), 4),
        Error::Rows
    );
    assert_eq!(refused(&[plain(1)], 4), Error::RowOrder);
    assert_eq!(refused(&[plain(0), plain(9), plain(9)], 4), Error::RowOrder);
    assert_eq!(refused(&[plain(0), plain(9), plain(8)], 4), Error::RowOrder);
    assert_eq!(refused(&[of_ratio(0, 2)], 4), Error::RowFull);
    assert_eq!(
        refused(&[of_ratio(0, 4), plain((1 << 30) + 1)], 4),
        Error::RowFull
    );
    assert!(Table::new(&[of_ratio(0, 4), plain(1 << 30)], 4).is_ok());
    assert_eq!(refused(&[plain(0)], 0), Error::Hysteresis);
    assert_eq!(refused(&[plain(0)], 16), Error::Hysteresis);
}

#[test]
fn rows() {
    let refused = |stretch, edges| {
        let setting = RowSetting {
            stretch,
            edges,
            ..RowSetting::PLAIN
        };
        Row::new(&setting, Modulation::FirstOrder).err()
    };
    let loss = |ticks| EdgeLoss::from_ratio(ticks, 1).unwrap();
    assert_eq!(refused(Stretch::One, loss(1)), Some(Error::Edge));
    assert_eq!(refused(Stretch::Four, loss(-4)), Some(Error::Edge));
    assert_eq!(refused(Stretch::Four, loss(3)), None);
    assert_eq!(EdgeLoss::from_ratio(17, 1), Err(Error::Edge));
    assert_eq!(EdgeLoss::from_ratio(1, 0), Err(Error::Edge));
    // Edges that are as long as a pulse: equal ones take nothing, but a pulse would not be one.
    let times = EdgeTimes {
        rise_ps: 1_500,
        fall_ps: 1_500,
        ..EdgeTimes::default()
    };
    let edges = EdgeLoss::from_times(&times, 1_000).unwrap();
    assert_eq!(refused(Stretch::One, edges), Some(Error::Edge));
    assert_eq!(refused(Stretch::Two, edges), None);
    assert_eq!(EdgeLoss::from_times(&times, 0), Err(Error::Tick));
    assert_eq!(EdgeLoss::from_times(&times, 10), Err(Error::Edge));
}

#[test]
fn ratios_stretches_and_timers() {
    for (numerator, denominator) in [(1, 2), (1025, 1), (1, 0), (0, 0), (u32::MAX, 1)] {
        assert_eq!(
            RangeRatio::from_ratio_nearest(numerator, denominator),
            Err(Error::RangeRatio)
        );
    }
    assert_eq!(RangeRatio::from_ratio_nearest(7, 7), Ok(RangeRatio::ONE));
    for ticks in [0, 3, 32, u32::MAX] {
        assert_eq!(Stretch::from_ticks(ticks), Err(Error::Stretch));
    }
    assert_eq!(TimerPwm::new(7, Order::First, None), Err(Error::TimerBits));
    assert_eq!(TimerPwm::new(17, Order::First, None), Err(Error::TimerBits));
}

/// A table for one modulation would leave edges uncorrected, or correct them twice, in another.
#[test]
fn a_table_for_another_modulation() {
    let table =
        |modulation| Table::new(&[row(Light::BLACK, 1, Stretch::One, 300, modulation)], 4).unwrap();
    let built = |rows_for, modulation| {
        let operating = [&table(rows_for)];
        let configuration = Configuration {
            operating,
            ..Configuration::new(Curve::Linear, [modulation], 1)
        };
        Luminaire::new(&configuration).err()
    };
    let (first, second) = (Modulation::FirstOrder, Modulation::SecondOrder);
    assert_eq!(built(first, second), Some(Error::Correction));
    assert_eq!(built(second, first), Some(Error::Correction));
    assert_eq!((built(first, first), built(second, second)), (None, None));
}
