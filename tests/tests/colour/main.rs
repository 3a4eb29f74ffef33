//! Colour against published and independently computed tables.

mod chromaticity;
mod gamut;
mod on_target;
mod quantisation;
mod solver;
mod solver_properties;
mod solver_refusals;
mod whites;

use milliglow_sim::colour::Xy;
use milliglow_sim::colour::solver::{Primaries, Primary, Wanted};
use milliglow_tests::data::{Row, rows};

#[track_caller]
fn assert_near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: {found} is not {expected} +- {tolerance}"
    );
}

/// The chromaticity of two columns.
fn xy(row: &Row, x: &str, y: &str) -> Xy {
    Xy {
        x: row.number(x),
        y: row.number(y),
    }
}

/// The numbers of a column, `;` between them.
fn list(row: &Row, column: &str) -> Vec<f64> {
    let numbers = row.text(column).split(';');
    numbers.map(|number| number.parse().unwrap()).collect()
}

/// Chromaticity and flux in lm of the invented primaries that a row names, `+` between them.
fn primaries(names: &str) -> Vec<(Xy, f64)> {
    let table = rows("colour_primaries_invented.csv");
    let primary = |name: &str| {
        let row = table.iter().find(|row| row.text("channel") == name);
        let row = row.unwrap_or_else(|| panic!("no primary {name}"));
        (xy(row, "x", "y"), row.number("flux_lm_full"))
    };
    names.split('+').map(primary).collect()
}

/// The invented primaries that are named, each with a power of its own, invented too.
fn channels(names: &str) -> Vec<Primary> {
    let lights = primaries(names).into_iter().zip(names.split('+'));
    lights
        .zip(0..)
        .map(|(((light, flux_lm), name), k)| Primary {
            name: name.to_owned(),
            light,
            flux_lm,
            power_w: Some(2.0 + f64::from(k * 3 % 5)),
        })
        .collect()
}

fn luminaire(names: &str) -> Primaries {
    Primaries::new(channels(names)).unwrap()
}

/// A white on the Planckian locus, or of two channels on their line.
fn white(cct_k: f64) -> Wanted {
    Wanted::White { cct_k, duv: None }
}
