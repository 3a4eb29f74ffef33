//! Ways of dimming side by side.

use milliglow_sim::check::compare::{Compared, Comparison, compare};
use milliglow_sim::description::Description;
use milliglow_tests::plain_cove::one_channel;

/// One channel at 1 MHz, so that records are short, from 1 % up. Invented.
fn luminaire() -> Description {
    let mut made = one_channel();
    made.tick_hz = 1_000_000;
    made.tick_tolerance = 0.0;
    made.requirements.lowest_light = 0.01;
    made
}

fn compared() -> Comparison {
    compare(&luminaire(), &[], |_| ())
}

fn way<'a>(comparison: &'a Comparison, name: &str) -> &'a Compared {
    let mut ways = comparison.ways.iter();
    ways.find(|way| way.name == name)
        .unwrap_or_else(|| panic!("{name}"))
}

#[test]
fn every_way_has_the_figures_of_its_streams() {
    let comparison = compared();
    let names: Vec<_> = comparison.ways.iter().map(|way| &*way.name).collect();
    let expected = [
        "this file",
        "PWM, 9 bits",
        "dithered PWM, 9 bits",
        "first order",
        "first order, dithered",
        "second order",
        "stretched",
        "two ranges, 1 to 10",
    ];
    assert_eq!(names, expected);
    let deepest = |name: &str| *way(&comparison, name).rows.last().unwrap();
    // 1 MHz / 512: full depth at 1953 Hz, 2 x sinc of the duty, over 0.0333 % a Hz.
    let pwm = deepest("PWM, 9 bits");
    assert!(
        (pwm.flicker.no_effect / (2.0 / 0.000_333 / 1_953.125) - 1.0).abs() < 1e-3,
        "{pwm:?}"
    );
    assert!(
        (pwm.edges_hz / (2.0 * 1_953.125) - 1.0).abs() < 1e-6,
        "{pwm:?}"
    );
    // 0.01 x 512 = 5.12 rounds to 5 ticks.
    assert!(
        (pwm.light_error / (5.0 / 5.12 - 1.0) - 1.0).abs() < 0.01,
        "{pwm:?}"
    );
    assert_eq!(pwm.shortest_pulse_s, Some(5e-6));
    // 10 000 pulses a second: beyond every limit.
    let first = deepest("first order");
    assert!(
        first.flicker.no_effect < 0.05 && first.light_error.abs() < 1e-5,
        "{first:?}"
    );
    assert!((first.edges_hz / 20_000.0 - 1.0).abs() < 1e-3, "{first:?}");
    assert_eq!(
        (first.shortest_pulse_s, first.supply_peak),
        (Some(1e-6), 1.0)
    );
    // Error feedback: the mean is right, and what carries it is slower than the timer.
    let dithered = deepest("dithered PWM, 9 bits");
    assert!(dithered.flicker.slow_flicker > 20.0 * pwm.flicker.slow_flicker.max(1e-6));
    assert!(!way(&comparison, "dithered PWM, 9 bits").is_exact);
    // Ten times the pulses, a tenth of the current.
    let ranges = deepest("two ranges, 1 to 10");
    assert!(
        (ranges.edges_hz / 200_000.0 - 1.0).abs() < 1e-3,
        "{ranges:?}"
    );
    assert_eq!(ranges.supply_peak, 0.1);
    // At half light a stretched stream has a sixteenth of the edges.
    let [plain, stretched] =
        ["first order", "stretched"].map(|name| way(&comparison, name).rows[1]);
    assert!(
        (plain.edges_hz / stretched.edges_hz - 16.0).abs() < 0.01,
        "{stretched:?}"
    );
    assert_eq!(stretched.shortest_pulse_s, Some(16e-6));
    assert!(
        way(&comparison, "stretched")
            .worst(|row| row.no_effect)
            .unwrap()
            .0
            < 0.9
    );
}

/// Offset of 0.1 % of full at 1 %: a tenth of the light, and gain and sense errors of 1 %.
#[test]
fn a_set_point_of_one_per_cent_is_a_tenth_off() {
    let deepest = *compared().analog.last().unwrap();
    assert!((0.09..0.11).contains(&deepest.light_error), "{deepest:?}");
    assert!(
        deepest.given[0] < 0.0092 && deepest.given[2] > 0.0108,
        "{deepest:?}"
    );
    assert!(
        deepest.dark == 0.0 && deepest.colour_error > 0.001,
        "{deepest:?}"
    );
}
