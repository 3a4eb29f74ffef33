//! Colour in the warm luminaire: published losses of flux, and the core's estimator against the physics in f64.

use milliglow::flux_correction::Estimator;
use milliglow_sim::colour::Xy;
use milliglow_sim::description::{Description, parse};
use milliglow_sim::metrics::{N_STEP, colour_shift};
use milliglow_sim::thermal::{Physics, Warm, WarmState, correction, missing};
use milliglow_tests::data::rows;

const WARM: &str = include_str!("../../data/warm_luminaire.toml");

fn described(change: impl Fn(String) -> String) -> Description {
    parse(&change(WARM.to_owned()), "warm.toml").unwrap()
}

fn warm() -> Description {
    described(|text| text)
}

fn channels(description: &Description) -> Vec<(Xy, f64)> {
    let channels = description.channels.iter();
    channels
        .map(|c| (Xy { x: c.x, y: c.y }, c.flux_lm))
        .collect()
}

/// T1 of red, green and blue in K.
fn constants() -> [f64; 3] {
    let rows = rows("driver_led_physics.csv");
    ["AlGaInP red", "InGaN green", "InGaN blue"].map(|name| {
        let row = rows
            .iter()
            .find(|row| row.text("quantity").contains(&format!("T1 {name}")));
        row.unwrap().number("value")
    })
}

/// The first recipe after so many steps at a light, that begin settled at another.
fn after(
    description: &Description,
    is_corrected: bool,
    before: f64,
    light: f64,
    steps: usize,
) -> WarmState {
    let configuration = correction(description);
    let estimator = is_corrected.then(|| Estimator::new(&configuration));
    let shares = &description.recipes[0].shares;
    let mut warm = Warm::new(description, channels(description), shares, estimator);
    warm.settle(before);
    (0..steps).for_each(|_| warm.step(light));
    warm.state(light)
}

#[test]
fn self_heating_of_30_k_moves_an_uncorrected_white_by_over_ten_n_steps() {
    let description = warm();
    let lost = constants().map(|t1| (-30.0 / t1).exp());
    let shares = &description.recipes[0].shares;
    let gives: Vec<f64> = shares
        .iter()
        .zip(lost)
        .map(|(share, lost)| share * lost)
        .collect();
    let published = colour_shift(&channels(&description), &gives, shares).unwrap();
    assert!((16.0..17.0).contains(&(published / N_STEP)), "{published}");

    let plain = after(&description, false, 1.0, 1.0, 0);
    for junction in &plain.junctions {
        assert!((junction - 56.85).abs() < 0.01, "{junction}");
    }
    assert!(
        (plain.shift / published - 1.0).abs() < 2e-3,
        "{} {published}",
        plain.shift
    );
    let corrected = after(&description, true, 1.0, 1.0, 100);
    assert!(corrected.shift < 0.1 * N_STEP, "{}", corrected.shift);
    // What the correction gives in light it takes from the channels that have some left.
    assert!(corrected.power_w > plain.power_w);
}

#[test]
fn a_second_after_a_jump_the_junctions_are_still_warm() {
    let description = warm();
    let plain = after(&description, false, 1.0, 0.001, 10);
    let rise = 30.0 * (0.001 + 0.999 * (-1.0_f64 / 8.0).exp());
    for junction in &plain.junctions {
        assert!((junction - 26.85 - rise).abs() < 0.01, "{junction}");
    }
    assert!(plain.shift > 10.0 * N_STEP, "{}", plain.shift);
    let corrected = after(&description, true, 1.0, 0.001, 10);
    assert!(corrected.shift < 0.1 * N_STEP, "{}", corrected.shift);
    // After a minute all is as cold as the board, and neither needs anything.
    for is_corrected in [false, true] {
        let cold = after(&description, is_corrected, 1.0, 0.001, 600);
        assert!(cold.shift < 0.1 * N_STEP, "{}", cold.shift);
    }
}

#[test]
fn a_bin_is_corrected_cold_and_warm() {
    let description =
        described(|text| text.replacen("time_constant_s", "bin_factor = 0.8\ntime_constant_s", 1));
    assert!(after(&description, false, 0.001, 0.001, 0).shift > 10.0 * N_STEP);
    for light in [1.0, 0.1, 0.001] {
        let shift = after(&description, true, light, light, 10).shift;
        assert!(shift < 0.1 * N_STEP, "{light}: {shift}");
    }
}

#[test]
fn a_cap_lowers_all_channels_alike() {
    let description = described(|text| {
        text.replace(
            "celsius = 26.85\nflux",
            "celsius = 26.85\npower_cap_w = 4.0\nflux",
        )
    });
    for light in [1.0, 0.5, 0.001] {
        let state = after(&description, true, light, light, 10);
        assert!(
            state.power_w <= 4.0 * light * (1.0 + 1e-5),
            "{}",
            state.power_w
        );
        assert!(
            state.power_w > 4.0 * light * (1.0 - 1e-3),
            "{}",
            state.power_w
        );
        assert!(state.shift < 0.1 * N_STEP, "{}", state.shift);
    }
    assert!(after(&description, false, 1.0, 1.0, 0).power_w > 6.0);
}

#[test]
fn knots_are_on_straight_lines_and_ends_hold() {
    let description =
        described(|text| text.replace("celsius = 26.85\nflux", "celsius = 31.85\nflux"));
    let fluxes = Physics::new(&description).fluxes();
    for (flux, t1) in fluxes.iter().zip(constants()) {
        let middle = (1.0 + (-10.0 / t1).exp()) / 2.0;
        assert!((flux - middle).abs() < 1e-6, "{flux} {middle}");
    }
    let cold = described(|text| text.replace("celsius = 26.85\nflux", "celsius = -40.0\nflux"));
    assert_eq!(Physics::new(&cold).fluxes(), [1.0; 3]);
}

#[test]
fn what_a_file_lacks_is_named() {
    assert_eq!(missing(&warm()), None);
    let lacking = described(|text| text.replacen("power_w = 3.0\n", "", 1));
    let found = missing(&lacking).unwrap();
    assert_eq!(
        (found.channel.as_str(), found.keys),
        ("red", vec!["power_w"])
    );
}
