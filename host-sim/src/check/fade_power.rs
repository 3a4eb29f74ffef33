//! Electrical power through the script's fades: information.

use milliglow::flux_correction::Estimator;

use super::asked_fade::AskedFade;
use super::colour::channels;
use crate::description::Description;
use crate::run::FadePower;
use crate::thermal::{PERIOD_S, Warm, correction};

/// Spans of a fade that are kept.
const KEPT: usize = 200;

/// The power of each fade of the script, from black; none where a channel's power is not known.
pub(super) fn fade_powers(description: &Description) -> Vec<FadePower> {
    let known = description
        .channels
        .iter()
        .all(|channel| channel.power_w.is_some());
    if !known {
        return Vec::new();
    }
    let configuration = correction(description);
    let estimators = [None, Some(Estimator::new(&configuration))];
    let mut both =
        estimators.map(|estimator| Warm::new(description, channels(description), &[], estimator));
    let mut asked = AskedFade::new(description);
    let (mut powers, mut begin_s) = (Vec::new(), 0.0);
    for (fade, script) in description.script.iter().enumerate() {
        let steps = (script.seconds / PERIOD_S).ceil().max(1.0) as usize;
        let step_s = script.seconds / steps as f64;
        let all: Vec<_> = (1..=steps)
            .map(|step| {
                let way = step as f64 / steps as f64;
                let power = both.each_mut().map(|warm| power(warm, &asked, fade, way));
                (begin_s + step as f64 * step_s, power)
            })
            .collect();
        powers.push(thinned(&all));
        begin_s += script.seconds;
        asked.arrive(fade);
    }
    powers
}

/// A part of the way along a fade, and a period on.
fn power(warm: &mut Warm<'_, '_>, asked: &AskedFade<'_>, fade: usize, way: f64) -> f64 {
    let light = asked.light_at(fade, way);
    warm.set_shares(&asked.shares_at(fade, way));
    let power = warm.power(light);
    warm.step(light);
    power
}

fn thinned(all: &[(f64, [f64; 2])]) -> FadePower {
    let higher = |one: [f64; 2], other: [f64; 2]| [one[0].max(other[0]), one[1].max(other[1])];
    let highest = |rows: &[(f64, [f64; 2])]| rows.iter().map(|row| row.1).fold([0.0; 2], higher);
    let spans = all.chunks(all.len().div_ceil(KEPT).max(1));
    FadePower {
        peak_w: highest(all),
        rows: spans
            .filter_map(|span| Some((span.last()?.0, highest(span))))
            .collect(),
    }
}
