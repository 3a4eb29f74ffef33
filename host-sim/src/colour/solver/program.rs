//! The linear programs behind a recipe.

use super::super::{Face, NO_DISTANCE, Place, Uv};
use super::{Primaries, Primary, Refused};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// Shares nearer to 0 or to their highest than this, as a part of that, are there.
const AT_BOUND: f64 = 1e-9;

/// A share so small beside the largest is a speck that rounding leaves, if the colour is reached without it as well.
const SPECK: f64 = 1e-5;

/// A flux that can be reached.
#[derive(Clone, Copy)]
pub(super) struct Flux {
    pub(super) asked_lm: f64,
    pub(super) reachable_lm: f64,
}

/// A chromaticity as equations in the shares of those channels that can take part in it.
pub(super) struct Program<'a> {
    channels: &'a [Primary],
    /// Indices of the channels that take part.
    parts: Vec<usize>,
    /// Rows of coefficients, one a part; each row's sum with the shares is 0.
    equations: Vec<Vec<f64>>,
}

impl<'a> Program<'a> {
    pub(super) fn new(primaries: &'a Primaries, place: &Place) -> Self {
        let channels = primaries.channels();
        let on_face = |k: &usize| lies_on(place.face, channels[*k].light.to_uv());
        let parts: Vec<usize> = (0..channels.len()).filter(on_face).collect();
        let row = |direction: &Uv| {
            let parts = parts.iter().map(|&k| &channels[k]);
            scaled(parts.map(|channel| pull(channel, place.nearest, *direction)))
        };
        let equations = directions(place.face).iter().map(row).collect();
        Self {
            channels,
            parts,
            equations,
        }
    }

    /// The shares that give most flux.
    pub(super) fn most_flux(&self) -> Result<Vec<f64>, Refused> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let gains = scaled(self.fluxes());
        let variables = variables(&mut problem, &gains, 1.0);
        self.hold_colour(&mut problem, &variables);
        Ok(self.shares(&solution(&problem, &variables, 1.0)?, 1.0))
    }

    /// The shares that give this flux with the least power.
    pub(super) fn least_power(&self, flux: Flux) -> Result<Vec<f64>, Refused> {
        let power = |&k: &usize| {
            let channel = &self.channels[k];
            let unknown = || Refused::Power(channel.name.clone());
            channel.power_w.ok_or_else(unknown)
        };
        let powers: Vec<f64> = self.parts.iter().map(power).collect::<Result<_, _>>()?;
        self.least(&powers, flux, 1.0)
    }

    /// The shares that give this flux with the largest share smallest, then with the least sum of shares.
    pub(super) fn even_load(&self, flux: Flux) -> Result<Vec<f64>, Refused> {
        let shares = self.with_specks(flux)?;
        let largest = shares.iter().copied().fold(0.0, f64::max);
        let is_speck = |k: usize| shares[k] > 0.0 && shares[k] < SPECK * largest;
        if !(0..shares.len()).any(is_speck) {
            return Ok(shares);
        }
        let without = self.without(is_speck).with_specks(flux);
        let is_as_even = |shares: &Vec<f64>| {
            shares.iter().copied().fold(0.0, f64::max) <= largest * (1.0 + SPECK)
        };
        Ok(without.ok().filter(is_as_even).unwrap_or(shares))
    }

    /// The same with some channels left dark.
    fn without(&self, is_dark: impl Fn(usize) -> bool) -> Self {
        let kept = |row: &Vec<f64>| {
            let parts = self.parts.iter().zip(row);
            let parts = parts.filter(|(k, _)| !is_dark(**k));
            parts.map(|(_, pull)| *pull).collect()
        };
        Self {
            channels: self.channels,
            equations: self.equations.iter().map(kept).collect(),
            parts: self
                .parts
                .iter()
                .copied()
                .filter(|k| !is_dark(*k))
                .collect(),
        }
    }

    fn with_specks(&self, flux: Flux) -> Result<Vec<f64>, Refused> {
        let part = flux.asked_lm / flux.reachable_lm;
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let variables = variables(&mut problem, &vec![0.0; self.parts.len()], 1.0 / part);
        let largest = problem.add_var(1.0, (0.0, 1.0 / part));
        for &variable in &variables {
            problem.add_constraint([(variable, 1.0), (largest, -1.0)], ComparisonOp::Le, 0.0);
        }
        self.hold_colour(&mut problem, &variables);
        self.hold_flux(&mut problem, &variables, flux);
        let found = solution(&problem, &[largest], 1.0 / part)?;
        // A little room, so that the second program surely has the first one's solution.
        let highest = (found[0] * part * (1.0 + AT_BOUND)).min(1.0);
        self.least(&vec![1.0; self.parts.len()], flux, highest)
    }

    /// The shares, none above `highest`, that give this flux at the least cost.
    ///
    /// They are sought as multiples of the part of the reachable flux that is asked for, so that a little flux is
    /// found as exactly as much.
    fn least(&self, costs: &[f64], flux: Flux, highest: f64) -> Result<Vec<f64>, Refused> {
        let part = flux.asked_lm / flux.reachable_lm;
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let costs = scaled(costs.iter().copied());
        let variables = variables(&mut problem, &costs, highest / part);
        self.hold_colour(&mut problem, &variables);
        self.hold_flux(&mut problem, &variables, flux);
        Ok(self.shares(&solution(&problem, &variables, highest / part)?, part))
    }

    fn hold_colour(&self, problem: &mut Problem, variables: &[Variable]) {
        for row in &self.equations {
            let terms = variables.iter().copied().zip(row.iter().copied());
            problem.add_constraint(terms.collect::<Vec<_>>(), ComparisonOp::Eq, 0.0);
        }
    }

    fn hold_flux(&self, problem: &mut Problem, variables: &[Variable], flux: Flux) {
        let parts = self.fluxes().map(|flux_lm| flux_lm / flux.reachable_lm);
        let terms: Vec<_> = variables.iter().copied().zip(parts).collect();
        problem.add_constraint(terms, ComparisonOp::Eq, 1.0);
    }

    fn fluxes(&self) -> impl Iterator<Item = f64> {
        self.parts.iter().map(|&k| self.channels[k].flux_lm)
    }

    /// One share a channel from one multiple of `part` a part.
    fn shares(&self, found: &[f64], part: f64) -> Vec<f64> {
        let mut shares = vec![0.0; self.channels.len()];
        for (&k, multiple) in self.parts.iter().zip(found) {
            shares[k] = (multiple * part).min(1.0);
        }
        shares
    }
}

fn variables(problem: &mut Problem, coefficients: &[f64], highest: f64) -> Vec<Variable> {
    let variable = |&coefficient: &f64| problem.add_var(coefficient, (0.0, highest));
    coefficients.iter().map(variable).collect()
}

fn solution(problem: &Problem, variables: &[Variable], highest: f64) -> Result<Vec<f64>, Refused> {
    let outcome = problem.solve().map_err(|_| Refused::Numbers)?;
    let found = outcome.solution().ok_or(Refused::Numbers)?;
    let value = |variable: &Variable| match found.var_value(*variable) {
        value if value <= highest * AT_BOUND => 0.0,
        value if value >= highest * (1.0 - AT_BOUND) => highest,
        value => value,
    };
    Ok(variables.iter().map(value).collect())
}

/// The directions in which shares can leave a chromaticity without leaving the face.
fn directions(face: Face) -> Vec<Uv> {
    match face {
        Face::Inside => vec![Uv { u: 1.0, v: 0.0 }, Uv { u: 0.0, v: 1.0 }],
        Face::Edge(from, to) => {
            let length = from.distance(to);
            vec![Uv {
                u: (to.u - from.u) / length,
                v: (to.v - from.v) / length,
            }]
        }
        Face::Corner(_) => Vec::new(),
    }
}

fn lies_on(face: Face, light: Uv) -> bool {
    match face {
        Face::Inside => true,
        Face::Corner(corner) => light.distance(corner) <= NO_DISTANCE,
        Face::Edge(from, to) => {
            let area = (to.u - from.u) * (light.v - from.v) - (to.v - from.v) * (light.u - from.u);
            area.abs() <= NO_DISTANCE * from.distance(to)
        }
    }
}

/// How strongly a channel draws the mixture from `target` along a direction: lights mix in u', v' by weights of
/// X + 15 Y + 3 Z, which is flux x (-2 x + 12 y + 3) / y.
fn pull(channel: &Primary, target: Uv, direction: Uv) -> f64 {
    let (xy, uv) = (channel.light, channel.light.to_uv());
    let weight = channel.flux_lm * (-2.0 * xy.x + 12.0 * xy.y + 3.0) / xy.y;
    weight * ((uv.u - target.u) * direction.u + (uv.v - target.v) * direction.v)
}

/// The numbers over the largest of them.
fn scaled(numbers: impl Iterator<Item = f64>) -> Vec<f64> {
    let numbers: Vec<f64> = numbers.collect();
    let largest = numbers
        .iter()
        .fold(0.0, |largest: f64, number| largest.max(number.abs()));
    let scale = if largest > 0.0 { largest } else { 1.0 };
    numbers.iter().map(|number| number / scale).collect()
}
