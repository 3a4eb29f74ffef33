//! The mean current of first-order streams behind slew-limited edges.

use milliglow_sim::optics::drivers::{Driver, Gated, Slew, SlewFigures};
use milliglow_tests::Agreement;
use milliglow_tests::data::{Row, rows};

/// Mean over a period of ones / ticks, once settled.
fn mean(row: &Row, ones: u32, ticks: u32) -> f64 {
    let figures = SlewFigures {
        rise_s: row.number("t_rise_s"),
        fall_s: row.number("t_fall_s"),
        ..SlewFigures::default()
    };
    let driver = Driver::Slew(Slew::new(figures).unwrap());
    let mut gated = Gated::whatever_the_rise(&driver, row.number("tick_s"), 1).unwrap();
    let mut charge = 0;
    // The first-order recursion with the table's exact density; settled after a few dozen ticks.
    let mut period = || -> f64 {
        let mut tick = |_| {
            charge = (charge + ones) % ticks;
            gated.tick(charge < ones)
        };
        (0..ticks).map(&mut tick).sum::<f64>() / f64::from(ticks)
    };
    for _ in 0..50 {
        period();
    }
    period()
}

#[test]
fn means_are_as_tabulated() {
    let mut seen = Agreement::with("driver_stream_average.csv");
    for row in rows("driver_stream_average.csv") {
        let (ones, ticks) = row.text("density").split_once('/').unwrap();
        let found = mean(&row, ones.parse().unwrap(), ticks.parse().unwrap());
        let expected = row.number("mean_current_over_I");
        seen.see(&format!("{row:?}"), found, expected, 1e-6 * expected);
    }
}
