//! Whether the light reaches the depth asked for, and how exactly.

use milliglow::Level;

use super::rules::Rules;
use super::words::place;
use crate::description::{CurveChoice, Description};
use crate::metrics::relative_error;
use crate::numbers::percent;
use crate::run::{HeldChannel, Hold, core_curve, ideal_light};
use crate::verdict::{Rule, Verdict};

pub(super) fn judge(description: &Description, holds: &[Hold]) -> Vec<Verdict> {
    let rule = Rules::of(description).depth_error;
    let asked = description.requirements.lowest_light;
    let at_depth = holds.iter().filter(|hold| hold.light == asked);
    let mut verdicts: Vec<_> = at_depth
        .map(|hold| judge_hold(description, &rule, hold))
        .collect();
    verdicts.push(judge_octave(description, &rule));
    verdicts
}

/// The flux counted against the flux asked for at the Level of this depth.
fn judge_hold(description: &Description, rule: &Rule, hold: &Hold) -> Verdict {
    let at = place(description, hold.recipe, hold.light);
    if hold.level == 0 {
        let lowest = core_curve(description.curve)
            .light(Level::from_bits(1))
            .as_f64();
        let reason = format!("dark: the lowest light of the curve is {}", percent(lowest));
        return rule
            .judge(at, 1.0, reason)
            .mended_by(|| Some(deeper_curve(description)));
    }
    let channels = || hold.channels.iter().zip(&description.channels);
    let flux = |of: fn(&HeldChannel) -> f64| {
        let fluxes = channels().map(|(held, channel)| channel.flux_lm * of(held));
        fluxes.sum::<f64>()
    };
    let (counted, asked) = (flux(|held| held.light), flux(|held| held.target));
    let reason = format!(
        "flux counted over {} ticks at Level {}",
        hold.ticks, hold.level
    );
    rule.judge(at, relative_error(counted, asked), reason)
}

fn deeper_curve(description: &Description) -> String {
    let depth = (1.0 / description.requirements.lowest_light).ceil();
    match description.curve {
        CurveChoice::Exponential { .. } => format!("raise depth to {depth} or more"),
        _ => format!("choose an exponential curve with depth = {depth} or more"),
    }
}

/// The worst curve error of the Levels from the depth up to twice its light.
fn judge_octave(description: &Description, rule: &Rule) -> Verdict {
    let curve = core_curve(description.curve);
    let lowest = description.requirements.lowest_light;
    let first = curve.level(crate::run::light(lowest)).to_bits().max(1);
    let last = curve
        .level(crate::run::light(2.0 * lowest))
        .to_bits()
        .max(first);
    let errors = (first..=last).map(|bits| {
        let ideal = ideal_light(description.curve, f64::from(bits));
        (
            relative_error(curve.light(Level::from_bits(bits)).as_f64(), ideal),
            ideal,
        )
    });
    let (error, light) = errors
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or_default();
    let reason = format!("worst of Levels {first} to {last}, against the curve's formula");
    rule.judge(percent(light), error, reason).worst()
}
