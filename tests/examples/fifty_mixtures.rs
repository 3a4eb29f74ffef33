//! Writes fifty mixtures of the invented primaries and the whites that they are to standard output as JSON, for
//! tests/peers/whites_colour_science.py.

use milliglow::density::{Lfsr32, NoiseSource};
use milliglow_sim::colour::{White, Xy, mix};
use milliglow_tests::data::rows;
use serde_json::{Value, json};

const COUNT: usize = 50;
const LARGEST_DUV: f64 = 0.02;
const CCT_K: std::ops::RangeInclusive<f64> = 1_800.0..=10_000.0;

fn main() {
    let table = rows("colour_primaries_invented.csv");
    let number = |column| table.iter().map(move |row| row.number(column));
    let lights = number("x").zip(number("y")).map(|(x, y)| Xy { x, y });
    let primaries: Vec<(Xy, f64)> = lights.zip(number("flux_lm_full")).collect();
    let mut noise = Lfsr32::new(2_024).expect("not 0");
    let mixtures: Vec<Value> = std::iter::repeat_with(|| mixture(&primaries, &mut noise))
        .flatten()
        .take(COUNT)
        .collect();
    let channels: Vec<Value> = primaries
        .iter()
        .map(|(light, flux_lm)| json!({"x": light.x, "y": light.y, "flux_lm": flux_lm}))
        .collect();
    println!("{}", json!({"channels": channels, "mixtures": mixtures}));
}

/// A mixture of random shares, half of them 0, if it is a white of the range.
fn mixture(primaries: &[(Xy, f64)], noise: &mut Lfsr32) -> Option<Value> {
    let mut random = || f64::from(noise.next()) / f64::from(u32::MAX);
    let mut share = || if random() < 0.5 { 0.0 } else { random() };
    let shares: Vec<f64> = primaries.iter().map(|_| share()).collect();
    let lights = primaries.iter().zip(&shares);
    let light = mix(lights.map(|(&(light, flux_lm), share)| (light, flux_lm * share)))?;
    let white = White::of(light)?;
    let is_asked = CCT_K.contains(&white.cct_k) && white.duv.abs() <= LARGEST_DUV;
    is_asked.then(|| {
        json!({
            "shares": shares,
            "found": {"x": light.x, "y": light.y, "cct_k": white.cct_k, "duv": white.duv},
        })
    })
}
