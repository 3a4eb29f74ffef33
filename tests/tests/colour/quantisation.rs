//! What drives of few bits make of a colour deep down: plain rounding, no error carried on.

use super::{assert_near, list, luminaire};
use milliglow_sim::colour::solver::{Aim, Primaries, Wanted, solve};
use milliglow_sim::colour::{N_STEP, named_white, planckian};
use milliglow_tests::data::{Row, rows};

fn assert_as_tabulated(row: &Row, lights: &Primaries) {
    let wanted = match row.text("target") {
        "D65" => named_white("D65").unwrap(),
        "P2700" => planckian(2_700.0),
        other => panic!("{other}"),
    };
    let full = solve(lights, Wanted::Light(wanted), Aim::MostFlux).unwrap();
    let what = format!(
        "{} at {}, {} bits",
        row.text("target"),
        row.text("dim_level"),
        row.text("bits")
    );
    let dim = row.number("dim_level");
    let drives: Vec<f64> = full.shares.iter().map(|share| share * dim).collect();
    for (drive, expected) in drives.iter().zip(list(row, "drive_levels")) {
        assert_near(*drive, expected, 1e-8, &what);
    }
    let scale = row.number("bits").exp2();
    let codes: Vec<f64> = drives.iter().map(|drive| (drive * scale).round()).collect();
    assert_eq!(codes, list(row, "codes"), "{what}");
    if row.text("delta_upvp") == "channel lost" {
        assert!(codes.contains(&0.0), "{what}");
        return;
    }
    let quantised: Vec<f64> = codes.iter().map(|code| code / scale).collect();
    let given = lights.mixture(&quantised);
    let delta = given.light.unwrap().to_uv().distance(wanted.to_uv());
    let expected = row.number("delta_upvp");
    // The target's chromaticity is tabulated to 1e-8.
    assert_near(delta, expected, 2e-4 * expected + 4e-9, &what);
    assert_near(
        delta / N_STEP,
        row.number("steps_of_0.0011"),
        4e-4 * expected / N_STEP + 4e-6,
        &what,
    );
    let flux_error = given.flux_lm / (full.flux_lm * dim) - 1.0;
    assert_near(
        flux_error,
        row.number("flux_error"),
        3e-4 * row.number("flux_error").abs() + 5e-9,
        &what,
    );
}

#[test]
fn rounded_drives_shift_the_colour_as_tabulated() {
    let lights = luminaire("R+G+B");
    let rows = rows("colour_deep_dim_quantisation.csv");
    rows.iter()
        .for_each(|row| assert_as_tabulated(row, &lights));
    let lost = rows
        .iter()
        .filter(|row| row.text("delta_upvp") == "channel lost");
    assert_eq!(lost.count(), 1);
}

/// The shares and lights of the core, in 32 bits, hold every one of these colours at a thousandth of full light.
#[test]
fn shares_of_32_bits_hold_the_colour_at_a_thousandth() {
    let lights = luminaire("R+G+B");
    let thousandth = milliglow::Light::from_ratio_nearest(1, 1_000).unwrap();
    for wanted in [named_white("D65").unwrap(), planckian(2_700.0)] {
        let full = solve(&lights, Wanted::Light(wanted), Aim::MostFlux).unwrap();
        let shares = milliglow_sim::run::core_shares(&full.shares);
        let dimmed: Vec<f64> = shares
            .iter()
            .map(|share| share.of(thousandth).as_f64())
            .collect();
        let light = lights.mixture(&dimmed).light.unwrap();
        let steps = light.to_uv().distance(full.light.to_uv()) / N_STEP;
        assert!(steps < 0.01, "{steps} n-steps");
    }
}
