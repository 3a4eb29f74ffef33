//! Recipes along a range of whites, and how far from the locus light strays on its way between recipes.

use super::{Aim, Primaries, Refused, Solved, Wanted, solve};
use crate::colour::White;

/// Places looked at on the straight line between two recipes.
const PLACES: u32 = 256;

/// CCTs in K from one to another, even in mirek, in which equal steps look more alike than in K.
#[must_use]
pub fn even_in_mirek(from_k: f64, to_k: f64, count: usize) -> Vec<f64> {
    let steps = count.saturating_sub(1).max(1) as f64;
    let cct = |k: usize| match k as f64 / steps {
        0.0 => from_k,
        1.0 => to_k,
        part => 1.0 / ((1.0 - part) / from_k + part / to_k),
    };
    (0..count).map(cct).collect()
}

/// Recipes for whites, all of the same flux: the one that `spare` makes an aim of, or else the most that every one of
/// them reaches.
///
/// # Errors
/// As [`solve`].
pub fn same_flux(
    primaries: &Primaries,
    whites: &[Wanted],
    flux_lm: Option<f64>,
    spare: fn(f64) -> Aim,
) -> Result<Vec<Solved>, Refused> {
    let all = |aim: Aim| -> Result<Vec<Solved>, Refused> {
        let solved = whites.iter().map(|&white| solve(primaries, white, aim));
        solved.collect()
    };
    let flux_lm = match flux_lm {
        Some(flux_lm) => flux_lm,
        None => {
            let reachable = all(Aim::MostFlux)?;
            let fluxes = reachable.iter().map(|solved| solved.flux_lm);
            fluxes.fold(f64::INFINITY, f64::min)
        }
    };
    all(spare(flux_lm))
}

/// The white farthest from the Planckian locus on the way along recipes, each reached from the one before with every
/// channel's light on a straight line; none if some place on the way is no white.
#[must_use]
pub fn worst_duv(primaries: &Primaries, recipes: &[&[f64]]) -> Option<White> {
    let mut worst: Option<White> = None;
    for pair in recipes.windows(2) {
        for place in 0..=PLACES {
            let part = f64::from(place) / f64::from(PLACES);
            let shares = pair[0].iter().zip(pair[1]);
            let shares: Vec<f64> = shares.map(|(a, b)| a + (b - a) * part).collect();
            let white = White::of(primaries.mixture(&shares).light?)?;
            if worst.is_none_or(|worst| white.duv.abs() > worst.duv.abs()) {
                worst = Some(white);
            }
        }
    }
    worst
}
