//! One pulse of a slew-limited source.

use milliglow::density::NoiseSource;
use milliglow_sim::optics::drivers::{Driver, Gated, Slew, SlewFigures};
use milliglow_tests::Agreement;
use milliglow_tests::data::{Row, rows};
use milliglow_tests::stream::noise;

fn slew(row: &Row) -> Driver {
    let figures = SlewFigures {
        rise_s: row.number("t_rise_s"),
        fall_s: row.number("t_fall_s"),
        turn_on_delay_s: row.number("t_delay_on_s"),
        turn_off_delay_s: row.number("t_delay_off_s"),
        ..SlewFigures::default()
    };
    Driver::Slew(Slew::new(figures).unwrap())
}

/// Charge of a single pulse of the row's gate width, in seconds at full current.
fn pulse_s(row: &Row) -> f64 {
    const TICK_S: f64 = 50e-9;
    let mut gated = Gated::whatever_the_rise(&slew(row), TICK_S, 1).unwrap();
    let on = (row.number("gate_width_s") / TICK_S).round() as usize;
    (0..on + 100)
        .map(|tick| TICK_S * gated.tick(tick < on))
        .sum()
}

#[test]
fn charges_are_as_tabulated() {
    let mut seen = Agreement::with("driver_pulse_charge.csv");
    for row in rows("driver_pulse_charge.csv") {
        let expected = row.number("charge_C");
        let found = row.number("I_A") * pulse_s(&row);
        seen.see(
            &format!("{row:?}"),
            found,
            expected,
            1e-9 * expected.max(1e-9),
        );
    }
}

/// The charge of a turn-on leaves its pulse as soon as it has flowed, and never more than the pulse has.
#[test]
fn a_turn_on_takes_its_charge_once() {
    let figures = SlewFigures {
        rise_s: 200e-9,
        fall_s: 100e-9,
        turn_on_charge_s: 80e-9,
        ..SlewFigures::default()
    };
    let driver = Driver::Slew(Slew::new(figures).unwrap());
    let charge = |on: usize| -> f64 {
        let mut gated = Gated::whatever_the_rise(&driver, 100e-9, 1).unwrap();
        (0..on + 9).map(|tick| 100.0 * gated.tick(tick < on)).sum()
    };
    // Without it: 37.5, 150, 250 and 950 ns at full current.
    for (on, expected) in [(1, 0.0), (2, 70.0), (3, 170.0), (10, 870.0)] {
        assert!((charge(on) - expected).abs() < 1e-9, "{on}: {}", charge(on));
    }
}

/// Runs that meet before the current is down go on from where it is.
#[test]
fn a_short_gap_leaves_the_current_half_way() {
    let figures = SlewFigures {
        rise_s: 100e-9,
        fall_s: 400e-9,
        ..SlewFigures::default()
    };
    let mut gated = Gated::new(&Driver::Slew(Slew::new(figures).unwrap()), 200e-9, 1).unwrap();
    let mut corners = Vec::new();
    gated.tick(true);
    assert!((gated.trace(false, &mut corners) - 0.75).abs() < 1e-12);
    assert!((corners.last().unwrap().current - 0.5).abs() < 1e-12);
    // Half way up in 50 ns: (37.5 + 150) / 200.
    assert!((gated.tick(true) - 0.9375).abs() < 1e-12);
}

#[test]
fn corners_draw_the_charge_of_their_tick() {
    let figures = SlewFigures {
        rise_s: 130e-9,
        fall_s: 270e-9,
        turn_on_delay_s: 150e-9,
        turn_off_delay_s: 20e-9,
        turn_on_charge_s: 30e-9,
        ..SlewFigures::default()
    };
    let mut gated =
        Gated::whatever_the_rise(&Driver::Slew(Slew::new(figures).unwrap()), 100e-9, 1).unwrap();
    let (mut noise, mut lit) = (noise(1), 0);
    for tick in 0..4_000 {
        let mut corners = Vec::new();
        let charge = gated.trace(noise.next() >> 31 == 0, &mut corners);
        lit += u32::from(charge > 0.0 && charge < 1.0);
        let below: f64 = corners
            .windows(2)
            .map(|pair| (pair[1].after_s - pair[0].after_s) * (pair[0].current + pair[1].current))
            .sum();
        assert!((below / 2.0 / 100e-9 - charge).abs() < 1e-9, "{tick}");
        assert_eq!(corners[0].after_s, 0.0);
        assert!((corners.last().unwrap().after_s - 100e-9).abs() < 1e-18);
    }
    assert!(lit > 1_000, "{lit}");
}
