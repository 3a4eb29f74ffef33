//! From a wanted colour to channel shares, for 1 to 16 channels.
//!
//! The shares solve a linear program: tristimulus values add up (Grassmann's law), so the wanted chromaticity is two
//! linear equations in the shares, and flux and power are sums. The simplex method ends at a vertex: for most flux at
//! most two shares lie strictly between 0 and 1. It draws nothing at random that differs from run to run: equal
//! solutions are told apart the same way each time.

mod path;
mod primaries;
mod program;
mod refused;
mod target;

pub use path::{even_in_mirek, same_flux, worst_duv};
pub use primaries::{MOST_CHANNELS, Mixture, Primaries, Primary};
pub use refused::Refused;
pub use target::Wanted;

use super::{White, Xy};
use program::Program;

/// What to make of the freedom that the colour leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Aim {
    /// The most flux.
    MostFlux,
    /// This flux in lm, with the least electrical power.
    LeastPower(f64),
    /// This flux in lm, with the largest share as small as it can be, and then the sum of shares as small as it can be.
    EvenLoad(f64),
}

/// The recipe that was found, and what it gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// One share a channel, 0 to 1.
    pub shares: Vec<f64>,
    /// The chromaticity that was asked for.
    pub asked: Xy,
    /// The chromaticity that the shares give, within 1e-6 of the nearest one that can be reached.
    pub light: Xy,
    /// Its CCT and Duv, where it is a white.
    pub white: Option<White>,
    /// Flux in lm.
    pub flux_lm: f64,
    /// Electrical power in W, if it is known of every channel that is lit.
    pub power_w: Option<f64>,
    /// Most flux in lm at this chromaticity.
    pub reachable_lm: f64,
    /// Whether the chromaticity that was asked for can be reached; if not, `light` is the nearest that can.
    pub in_gamut: bool,
    /// Delta u'v' from what was asked for; 0 in the gamut.
    pub distance: f64,
}

/// Shares for a wanted colour.
///
/// # Errors
/// [`Refused`]: no real colour, a CCT outside its range, a flux that cannot be reached, or a channel without power.
///
/// ```
/// use milliglow_sim::colour::Xy;
/// use milliglow_sim::colour::solver::{Aim, Primaries, Primary, Wanted, solve};
///
/// let channel = |name: &str, x, y, flux_lm| Primary {
///     name: name.to_owned(), light: Xy { x, y }, flux_lm, power_w: None,
/// };
/// let whites = Primaries::new(vec![channel("warm", 0.468, 0.42, 400.0), channel("cool", 0.312, 0.328, 520.0)])?;
/// let solved = solve(&whites, Wanted::White { cct_k: 3_500.0, duv: None }, Aim::MostFlux)?;
/// assert!((solved.white.unwrap().cct_k - 3_500.0).abs() < 0.5);
/// assert_eq!(solved.shares[0], 1.0);
/// # Ok::<(), milliglow_sim::colour::solver::Refused>(())
/// ```
pub fn solve(primaries: &Primaries, wanted: Wanted, aim: Aim) -> Result<Solved, Refused> {
    let asked = wanted.resolve(primaries)?;
    let place = primaries.gamut().place(asked.to_uv());
    let program = Program::new(primaries, &place);
    let most = program.most_flux()?;
    let reachable_lm = primaries.mixture(&most).flux_lm;
    let shares = match aim {
        Aim::MostFlux => most,
        Aim::LeastPower(flux_lm) => program.least_power(reached(flux_lm, reachable_lm)?)?,
        Aim::EvenLoad(flux_lm) => program.even_load(reached(flux_lm, reachable_lm)?)?,
    };
    let mixture = primaries.mixture(&shares);
    let light = mixture.light.unwrap_or(asked);
    Ok(Solved {
        shares,
        asked,
        light,
        white: White::of(light),
        flux_lm: mixture.flux_lm,
        power_w: mixture.power_w,
        reachable_lm,
        in_gamut: place.distance == 0.0,
        distance: place.distance,
    })
}

/// A flux beyond the reachable one by its rounding is that one.
const ROUNDING: f64 = 1e-9;

fn reached(flux_lm: f64, reachable_lm: f64) -> Result<program::Flux, Refused> {
    let within = flux_lm > 0.0 && flux_lm <= reachable_lm * (1.0 + ROUNDING);
    within
        .then(|| program::Flux {
            asked_lm: flux_lm.min(reachable_lm),
            reachable_lm,
        })
        .ok_or(Refused::Flux {
            asked_lm: flux_lm,
            reachable_lm,
        })
}
