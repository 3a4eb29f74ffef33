//! Electrical power through the script's fades: information.

use milliglow::Level;
use milliglow::flux_correction::Estimator;

use super::colour::channels;
use crate::description::Description;
use crate::run::{FadePower, core_curve, level};
use crate::thermal::{PERIOD_S, Warm, correction};

/// The highest power of each fade of the script, from black; none where a channel's power is not known.
pub(super) fn fade_powers(description: &Description) -> Vec<FadePower> {
    let known = description
        .channels
        .iter()
        .all(|channel| channel.power_w.is_some());
    if !known || description.script.is_empty() {
        return Vec::new();
    }
    let configuration = correction(description);
    let mut plain = Warm::new(description, channels(description), &[], None);
    let mut corrected = Warm::new(
        description,
        channels(description),
        &[],
        Some(Estimator::new(&configuration)),
    );
    let mut from = (0.0, description.script[0].recipe);
    let mut powers = Vec::new();
    for fade in &description.script {
        let to = (
            f64::from(level(description, fade.level).to_bits()),
            fade.recipe,
        );
        let way = Way {
            description,
            from,
            to,
        };
        let steps = (fade.seconds / PERIOD_S).ceil().max(1.0);
        powers.push(FadePower {
            peak_w: peak(&mut plain, &way, steps),
            corrected_peak_w: peak(&mut corrected, &way, steps),
        });
        from = to;
    }
    powers
}

fn peak(warm: &mut Warm<'_, '_>, way: &Way<'_>, steps: f64) -> f64 {
    let mut peak = 0.0_f64;
    for step in 1..=steps as u32 {
        let (shares, light) = way.at(f64::from(step) / steps);
        warm.set_shares(&shares);
        peak = peak.max(warm.power(light));
        warm.step(light);
    }
    peak
}

/// A fade between two Levels and recipes.
struct Way<'a> {
    description: &'a Description,
    from: (f64, usize),
    to: (f64, usize),
}

impl Way<'_> {
    fn at(&self, part: f64) -> (Vec<f64>, f64) {
        let mix = |from: f64, to: f64| from + (to - from) * part;
        let shares = |recipe: usize| &self.description.recipes[recipe].shares;
        let level = Level::from_bits(mix(self.from.0, self.to.0).round() as u16);
        let pairs = shares(self.from.1).iter().zip(shares(self.to.1));
        let mixed = pairs.map(|(&from, &to)| mix(from, to)).collect();
        (
            mixed,
            core_curve(self.description.curve).light(level).as_f64(),
        )
    }
}
