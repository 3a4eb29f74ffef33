//! What would mend a fade, computed for the luminaire at hand.

use milliglow::Level;
use milliglow::curve::{Curve, Exponential};

use crate::description::{CurveChoice, Description};
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
    let estimate = (f64::from(steps) * ratio.ln_1p() / limit.ln_1p()).ceil();
    let needed = f64::from(enough_steps(description, levels, estimate as u32, limit));
    let control_hz = f64::from(description.control_hz);
    let hertz = (control_hz * needed / f64::from(steps)).ceil();
    let seconds = significant(needed / control_hz, 4);
    let highest = f64::from(description.tick_hz / 32).min(100_000.0);
    let slower = format!("let the fade take {seconds} s or more");
    let rate = if hertz <= highest {
        format!(
            "raise control_hz to {} or more; or {slower}",
            grouped(hertz)
        )
    } else {
        slower
    };
    match description.curve {
        CurveChoice::Exponential { .. } => rate,
        _ => format!(
            "{rate}; or choose an exponential curve: {}",
            exponential_step(description, steps)
        ),
    }
}

/// The fewest control steps, from an estimate on, whose whole Levels keep the limit, with room for a tail to black
/// where the curve has none yet.
fn enough_steps(description: &Description, levels: (u32, u32), estimate: u32, limit: f64) -> u32 {
    let curve = core_curve(match description.curve {
        CurveChoice::Exponential {
            depth,
            tail_levels: 0,
        } => CurveChoice::Exponential {
            depth,
            tail_levels: 4_096,
        },
        curve => curve,
    });
    let lowest = description.requirements.lowest_light;
    let mut steps = estimate.max(1);
    while largest_ratio(&curve, levels, steps, lowest) > limit && steps < 100_000_000 {
        steps += steps.div_ceil(200);
    }
    steps
}

/// The largest light step, as a ratio less 1, of a fade over Levels alone.
fn largest_ratio(curve: &Curve, (from, to): (u32, u32), steps: u32, lowest: f64) -> f64 {
    let light = |step: u32| {
        let moved = (u64::from(from.abs_diff(to)) * u64::from(step) / u64::from(steps)) as u32;
        let level = if to > from {
            from + moved
        } else {
            from - moved
        };
        curve.light(Level::from_bits(level as u16)).as_f64()
    };
    let ratios = (1..=steps).map(|step| {
        let (one, other) = (light(step - 1), light(step));
        let darker = one.min(other);
        if one.max(other) >= lowest && darker > 0.0 {
            one.max(other) / darker - 1.0
        } else {
            0.0
        }
    });
    ratios.fold(0.0, f64::max)
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

/// The control rate or the time at which steps would be so many times smaller: small steps go with their length.
pub(super) fn jnd_remedy(description: &Description, steps: u32, times: f64) -> String {
    let control_hz = f64::from(description.control_hz);
    let hertz = grouped((control_hz * times).ceil());
    let seconds = significant(f64::from(steps) * times / control_hz, 4);
    format!(
        "raise control_hz to {hertz} or more; or let the fade take {seconds} s or more; a longer tail helps deep down"
    )
}

/// The shortest tail whose lit end keeps the limit in a fade of this many control steps over the whole range.
pub(super) fn tail_remedy(description: &Description, steps: u32, limit: f64) -> String {
    let depth = match description.curve {
        CurveChoice::Exponential { depth, .. } => depth,
        _ => (1.0 / description.requirements.lowest_light).round() as u32,
    };
    let first_level = Level::from_bits((u32::from(u16::MAX) / steps).max(1) as u16);
    let keeps = |tail| {
        Exponential::new(depth, tail).is_ok_and(|curve| curve.light(first_level).as_f64() <= limit)
    };
    match (64..=4096).step_by(64).find(|&tail| keeps(tail)) {
        Some(tail) => format!("give the exponential curve a tail to black: tail_levels = {tail} or more"),
        None => "let the fade take longer or raise control_hz: no tail is long enough for these few control steps".to_owned(),
    }
}
