//! Electrical power through the script's fades, or through a bus's log: information.

use milliglow::flux_correction::{Configuration, Estimator};

use super::asked_fade::AskedFade;
use super::colour::channels;
use crate::description::Description;
use crate::run::{FadePower, Step, core_curve};
use crate::thermal::{MOST_CHANNELS, PERIOD_S, Warm, correction};

/// Spans of a fade that are kept.
const KEPT: usize = 200;

/// Without correction and with it.
type Both<'a> = [Warm<'a, 'a>; 2];

fn both<'a>(
    description: &'a Description,
    configuration: &'a Configuration<MOST_CHANNELS>,
) -> Option<Both<'a>> {
    let mut all = description.channels.iter();
    all.all(|channel| channel.power_w.is_some()).then(|| {
        [None, Some(Estimator::new(configuration))]
            .map(|estimator| Warm::new(description, channels(description), &[], estimator))
    })
}

/// The power through a bus's log, which is one long fade.
pub(super) struct LogPower<'a> {
    description: &'a Description,
    both: Option<Both<'a>>,
    all: Vec<(f64, [f64; 2])>,
}

impl<'a> LogPower<'a> {
    pub(super) fn new(
        description: &'a Description,
        configuration: &'a Configuration<MOST_CHANNELS>,
    ) -> Self {
        Self {
            description,
            both: both(description, configuration),
            all: Vec::new(),
        }
    }

    /// Looks once a period.
    pub(super) fn see(&mut self, step: &Step) {
        let now_s = step.overall as f64 / f64::from(self.description.control_hz);
        if now_s < (self.all.len() + 1) as f64 * PERIOD_S {
            return;
        }
        let shares = step.shares.iter().map(|share| share.to_bits());
        let shares: Vec<f64> = shares
            .map(|bits| f64::from(bits) / 4_294_967_296.0)
            .collect();
        let curve = core_curve(self.description.curve);
        let light = curve.light(step.level).as_f64();
        if let Some(both) = &mut self.both {
            let power = both.each_mut().map(|warm| power(warm, &shares, light));
            self.all.push((now_s, power));
        }
    }

    pub(super) fn end(self) -> Vec<FadePower> {
        let is_known = !self.all.is_empty();
        is_known.then(|| thinned(&self.all)).into_iter().collect()
    }
}

/// The power of each fade of the script, from black; none where a channel's power is not known.
pub(super) fn fade_powers(description: &Description) -> Vec<FadePower> {
    let configuration = correction(description);
    let Some(mut both) = both(description, &configuration) else {
        return Vec::new();
    };
    let mut asked = AskedFade::new(description);
    let (mut powers, mut begin_s) = (Vec::new(), 0.0);
    for (fade, script) in description.script.iter().enumerate() {
        let steps = (script.seconds / PERIOD_S).ceil().max(1.0) as usize;
        let step_s = script.seconds / steps as f64;
        let all: Vec<_> = (1..=steps)
            .map(|step| {
                let way = step as f64 / steps as f64;
                let power = both.each_mut().map(|warm| {
                    power(warm, &asked.shares_at(fade, way), asked.light_at(fade, way))
                });
                (begin_s + step as f64 * step_s, power)
            })
            .collect();
        powers.push(thinned(&all));
        begin_s += script.seconds;
        asked.arrive(fade);
    }
    powers
}

/// At a place of a fade, and a period on.
fn power(warm: &mut Warm<'_, '_>, shares: &[f64], light: f64) -> f64 {
    warm.set_shares(shares);
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
