//! What would mend a fade, computed for the luminaire at hand.

use milliglow::Level;
use milliglow::curve::Exponential;

use crate::description::{CurveChoice, Description};
use crate::numbers::{percent, significant};

/// The control rate or the time at which this fade's largest step would keep the limit, and for a curve that is not
/// exponential what an exponential one would do.
pub(super) fn step_remedy(description: &Description, steps: u32, ratio: f64, limit: f64) -> String {
    let times = ratio.ln_1p() / limit.ln_1p();
    let hertz = (f64::from(description.control_hz) * times).ceil();
    let seconds = significant(
        f64::from(steps) * times / f64::from(description.control_hz),
        4,
    );
    let highest = f64::from(description.tick_hz / 32).min(100_000.0);
    let slower = format!("let the fade take {seconds} s or more");
    let rate = if hertz <= highest {
        format!("raise control_hz to {hertz} or more; or {slower}")
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

fn exponential_step(description: &Description, steps: u32) -> String {
    let depth = 1.0 / description.requirements.lowest_light;
    let step = depth.powf(1.0 / f64::from(steps)) - 1.0;
    format!(
        "at a depth of {} the step would be {}",
        depth.round(),
        percent(step)
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
