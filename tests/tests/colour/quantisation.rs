//! What drives of few bits make of a colour deep down: plain rounding, no error carried on.

use std::path::Path;

use super::{assert_near, list, luminaire};
use milliglow::density::{Density, Lfsr32};
use milliglow::requantise::{Order, Requantiser, TimerPwm};
use milliglow_sim::colour::Xy;
use milliglow_sim::colour::solver::{Aim, Primaries, Wanted, solve};
use milliglow_sim::colour::{N_STEP, named_white, planckian};
use milliglow_sim::description::{LevelChoice, read};
use milliglow_sim::metrics::colour_shift;
use milliglow_sim::run::{BOTH_WAYS, Standing, level, light};
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
    if let Some(duties) = rounded_by_the_core(row.number("bits"), &drives) {
        assert_eq!(duties, codes, "{what}: by the core's requantiser");
    }
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

/// The duties that the core's timer gives of drives when it rounds and carries no error on; none for bits that no timer
/// of the core has. Full is a whole period.
fn rounded_by_the_core(bits: f64, drives: &[f64]) -> Option<Vec<f64>> {
    let pwm = TimerPwm::new(bits as u8, Order::Rounding, None).ok()?;
    let duty = |drive: &f64| {
        let density = Density::from_light(light(*drive));
        let mut noise = Lfsr32::new(1).unwrap();
        f64::from(Requantiser::new(pwm, 0).next_duty(density, &mut noise))
    };
    Some(drives.iter().map(duty).collect())
}

/// With its error carried on, the same timer of 12 bits keeps the colour that rounding loses.
#[test]
fn a_timer_that_carries_its_error_on_keeps_the_colour() {
    const PERIODS: u32 = 1 << 20;
    let lights = luminaire("R+G+B");
    let pwm = TimerPwm::new(12, Order::First, None).unwrap();
    let full = solve(&lights, Wanted::Light(planckian(2_700.0)), Aim::MostFlux).unwrap();
    let mean = |share: &f64| {
        let density = Density::from_light(light(share * 0.001));
        let mut noise = Lfsr32::new(1).unwrap();
        let mut timer = Requantiser::new(pwm, 0);
        let duties = (0..PERIODS).map(|_| u64::from(timer.next_duty(density, &mut noise)));
        duties.sum::<u64>() as f64
    };
    let given: Vec<f64> = full.shares.iter().map(mean).collect();
    let scaled: Vec<f64> = given
        .iter()
        .map(|duty| duty / 4_096.0 / f64::from(PERIODS))
        .collect();
    let light = lights.mixture(&scaled).light.unwrap();
    let steps = light.to_uv().distance(full.light.to_uv()) / N_STEP;
    assert!(steps < 0.02, "{steps} n-steps");
}

/// Every recipe that ships, come upon from below and from above, as a luminaire of ideal drivers stands there.
#[test]
fn every_shipped_recipe_holds_its_colour_at_a_thousandth() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/luminaires");
    let mut looked_at = 0;
    for file in folder.read_dir().unwrap() {
        let path = file.unwrap().path();
        // Beside the luminaires stands the log of a bus.
        if path.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let (description, _) = read(&path).unwrap();
        let channels = description.channels.iter();
        let channels: Vec<_> = channels
            .map(|channel| {
                (
                    Xy {
                        x: channel.x,
                        y: channel.y,
                    },
                    channel.flux_lm,
                )
            })
            .collect();
        let thousandth = level(&description, LevelChoice::Light(0.001));
        for (k, recipe) in description.recipes.iter().enumerate() {
            let wanted = recipe.shares_at(f64::from(thousandth.to_bits()));
            let mut standing = Standing::new(&description, k);
            for from in BOTH_WAYS {
                let given = standing.lights(thousandth, from);
                let shift = colour_shift(&channels, &given, &wanted).unwrap();
                let steps = shift / N_STEP;
                assert!(
                    steps < 0.1,
                    "{}, {}: {steps} n-steps",
                    description.name,
                    recipe.name
                );
                looked_at += 1;
            }
        }
    }
    assert!(looked_at >= 2 * 15, "{looked_at}");
}
