//! What would mend a fade, computed for the luminaire at hand.

use milliglow::Level;
use milliglow::curve::{Curve, Exponential};

use crate::description::{CurveChoice, Description};
use crate::metrics::gsdf::step_jnd;
use crate::numbers::{grouped, percent, significant};
use crate::run::core_curve;

/// The control rate or the time at which this fade's largest step would keep the limit, and for a curve that is not
/// exponential what an exponential one would do.
pub(super) fn step_remedy(
    description: &Description,
    levels: (u32, u32),
    steps: u32,
    ratio: f64,
    limit: f64,
) -> String {
    let lowest = description.requirements.lowest_light;
    let keeps = |one: f64, other: f64| {
        let (darker, brighter) = (one.min(other), one.max(other));
        brighter < lowest || darker == 0.0 || brighter / darker - 1.0 <= limit
    };
    let estimate = f64::from(steps) * ratio.ln_1p() / limit.ln_1p();
    let needed = f64::from(enough_steps(description, levels, (steps, estimate), keeps));
    ways(description, steps, needed)
}

/// A higher control rate, a longer fade, or another curve.
fn ways(description: &Description, steps: u32, needed: f64) -> String {
    let control_hz = f64::from(description.control_hz);
    let hertz = (control_hz * needed / f64::from(steps)).ceil();
    let seconds = significant(needed / control_hz, 4);
    let highest = f64::from(description.tick_hz / 32).min(100_000.0);
    let rate =
        (hertz <= highest).then(|| format!("raise control_hz to {} or more", grouped(hertz)));
    let slower =
        (needed / control_hz <= 86_400.0).then(|| format!("let the fade take {seconds} s or more"));
    let curve = match description.curve {
        CurveChoice::Exponential { .. } => None,
        _ => Some(format!(
            "choose an exponential curve: {}",
            exponential_step(description, steps)
        )),
    };
    let ways: Vec<_> = [rate, slower, curve].into_iter().flatten().collect();
    ways.join("; or ")
}

/// The fewest control steps, from an estimate on, of which every step of whole Levels keeps a limit, with room for a tail
/// to black where the curve has none yet.
fn enough_steps(
    description: &Description,
    levels: (u32, u32),
    (steps, estimate): (u32, f64),
    keeps: impl Fn(f64, f64) -> bool,
) -> u32 {
    let curve = core_curve(with_tail(description, steps));
    let mut enough = (estimate.ceil() as u32).max(1);
    while !all_keep(&curve, levels, enough, &keeps) && enough < MOST_STEPS {
        enough += enough.div_ceil(200);
    }
    enough
}

/// A day at 1 kHz: longer fades are not offered.
const MOST_STEPS: u32 = 86_400_000;

fn with_tail(description: &Description, steps: u32) -> CurveChoice {
    match description.curve {
        CurveChoice::Exponential {
            depth,
            tail_levels: 0,
        } => {
            let tail_levels =
                shortest_tail(depth, steps, description.requirements.edge_light).unwrap_or(4_096);
            CurveChoice::Exponential { depth, tail_levels }
        }
        curve => curve,
    }
}

/// Whether every light step of a fade over Levels alone keeps a limit.
fn all_keep(
    curve: &Curve,
    (from, to): (u32, u32),
    steps: u32,
    keeps: impl Fn(f64, f64) -> bool,
) -> bool {
    let light = |step: u32| {
        let moved = (u64::from(from.abs_diff(to)) * u64::from(step) / u64::from(steps)) as u32;
        let level = if to > from {
            from + moved
        } else {
            from - moved
        };
        curve.light(Level::from_bits(level as u16)).as_f64()
    };
    (1..=steps).all(|step| keeps(light(step - 1), light(step)))
}

fn exponential_step(description: &Description, steps: u32) -> String {
    let depth = 1.0 / description.requirements.lowest_light;
    let step = depth.powf(1.0 / f64::from(steps)) - 1.0;
    format!(
        "at a depth of {} the step would be {}",
        depth.round(),
        percent(step)
    )
}

/// The control rate or the time at which this fade's largest step would keep a limit in just-noticeable differences.
pub(super) fn jnd_remedy(
    description: &Description,
    levels: (u32, u32),
    steps: u32,
    jnd: f64,
    limit: f64,
) -> String {
    let full = description.full_output_cd_m2;
    let keeps = |one: f64, other: f64| step_jnd(full, one, other).is_none_or(|jnd| jnd <= limit);
    let estimate = f64::from(steps) * jnd / limit;
    let needed = f64::from(enough_steps(description, levels, (steps, estimate), keeps));
    ways(description, steps, needed)
}

/// The shortest tail whose lit end keeps the limit in a fade of this many control steps over the whole range.
pub(super) fn tail_remedy(description: &Description, steps: u32, limit: f64) -> String {
    let depth = match description.curve {
        CurveChoice::Exponential { depth, .. } => depth,
        _ => (1.0 / description.requirements.lowest_light).round() as u32,
    };
    match (shortest_tail(depth, steps, limit), description.curve) {
        (Some(tail), CurveChoice::Exponential { .. }) => {
            format!("give the curve a tail to black: tail_levels = {tail} or more")
        }
        (Some(tail), _) => format!("choose an exponential curve with depth = {depth} and tail_levels = {tail} or more"),
        (None, _) => {
            "let the fade take longer or raise control_hz: no tail is long enough for these few control steps".to_owned()
        }
    }
}

fn shortest_tail(depth: u32, steps: u32, limit: f64) -> Option<u16> {
    let first = Level::from_bits((u32::from(u16::MAX) / steps).max(1) as u16);
    let keeps = |tail| {
        Exponential::new(depth, tail).is_ok_and(|curve| curve.light(first).as_f64() <= limit)
    };
    (64..=4096).step_by(64).find(|&tail| keeps(tail))
}
