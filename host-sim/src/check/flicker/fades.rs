//! Flicker of fades: the metrics of the light over that of an ideal, unquantised fade, since a wanted fade would itself score.

use std::collections::VecDeque;

use super::super::asked_fade::AskedFade;
use super::super::rules::Rules;
use crate::description::Description;
use crate::metrics::flicker::pst_lm::PstLm;
use crate::metrics::flicker::{Samples, svm::svm_of_samples};
use crate::numbers::significant;
use crate::optics::Decimator;
use crate::run::Step;
use crate::verdict::Verdict;

/// Samples a second: flat up to 2 kHz, where SVM ends.
const RATE_HZ: u32 = 8_000;
/// Light whose lines are looked at together.
const WINDOW_SECONDS: usize = 3;

/// Follows the script.
pub(in crate::check) struct FadeFlicker<'a> {
    description: &'a Description,
    asked: AskedFade<'a>,
    decimator: Decimator<1>,
    /// Ideal flux at the control steps that samples still lie between: end of the step in seconds, flux.
    ideal: VecDeque<(f64, f64)>,
    /// The lowest light of the weakest recipe, in lm.
    darkest: f64,
    next_sample_s: f64,
    window: Vec<f64>,
    meter: Option<PstLm>,
    worst_svm: Option<(f64, f64)>,
}

impl<'a> FadeFlicker<'a> {
    pub(in crate::check) fn new(description: &'a Description) -> Self {
        let weights: Vec<_> = description
            .channels
            .iter()
            .map(|channel| [channel.flux_lm])
            .collect();
        let decimator = Decimator::new(&weights, description.tick_hz, RATE_HZ);
        Self {
            description,
            asked: AskedFade::new(description),
            darkest: darkest(description),
            next_sample_s: decimator.first_sample_s(),
            decimator,
            ideal: VecDeque::from([(0.0, 0.0)]),
            window: Vec::new(),
            meter: PstLm::new(f64::from(RATE_HZ)),
            worst_svm: None,
        }
    }

    pub(in crate::check) fn see(&mut self, step: &Step) {
        let way = f64::from(step.number) / f64::from(step.of);
        let end_s = step.overall as f64 / f64::from(self.description.control_hz);
        // The step is in force until the next one: on average the light is half a step ahead.
        let half_s = 0.5 / f64::from(self.description.control_hz);
        self.ideal
            .push_back((end_s - half_s, self.asked.flux(step.fade, way)));
        if step.number == step.of {
            self.asked.arrive(step.fade);
        }
        let mut samples = Vec::new();
        self.decimator.push(step.words, |[flux]| samples.push(flux));
        samples.into_iter().for_each(|flux| self.sample(flux));
    }

    fn sample(&mut self, flux: f64) {
        let time = self.next_sample_s;
        self.next_sample_s += 1.0 / f64::from(RATE_HZ);
        match self.ideal_at(time) {
            Some(ideal) => self.judge(time, flux / ideal),
            None => self.window.clear(),
        }
    }

    /// Between two control steps the ideal goes straight; none where it is too dark to be answered for.
    fn ideal_at(&mut self, time: f64) -> Option<f64> {
        while self.ideal.len() > 2 && self.ideal[1].0 < time {
            self.ideal.pop_front();
        }
        let (from, to) = (self.ideal.front()?, self.ideal.get(1)?);
        let part = ((time - from.0) / (to.0 - from.0)).clamp(0.0, 1.0);
        let flux = from.1 + (to.1 - from.1) * part;
        (flux >= self.darkest).then_some(flux)
    }

    fn judge(&mut self, time: f64, ratio: f64) {
        if let Some(meter) = &mut self.meter {
            meter.feed(&[ratio]);
        }
        self.window.push(ratio);
        if self.window.len() < WINDOW_SECONDS * RATE_HZ as usize {
            return;
        }
        let samples = Samples {
            rate_hz: f64::from(RATE_HZ),
            values: &self.window,
        };
        let svm = svm_of_samples(samples).unwrap_or(0.0);
        if self.worst_svm.is_none_or(|(worst, _)| svm > worst) {
            self.worst_svm = Some((svm, time - WINDOW_SECONDS as f64));
        }
        self.window.clear();
    }

    pub(in crate::check) fn verdicts(self) -> Vec<Verdict> {
        if self.description.script.is_empty() {
            return Vec::new();
        }
        let rules = Rules::of(self.description);
        let svm = match self.worst_svm {
            Some((svm, time)) => {
                let at = format!("script, {} s", significant(time, 4));
                rules
                    .svm
                    .judge(at, svm, "worst 3 s of light over the ideal fade's")
            }
            None => rules.svm.not_judged(
                "script",
                "no 3 s of light at a stretch bright enough to be answered for",
            ),
        };
        let severity = self.meter.and_then(|meter| meter.severity());
        let pst_lm = match severity {
            Some(severity) => {
                let seconds = significant(severity.judged_seconds, 3);
                rules.pst_lm.judge(
                    "script",
                    severity.pst_lm,
                    format!("{seconds} s of light over the ideal fade's"),
                )
            }
            None => rules.pst_lm.not_judged(
                "script",
                "less than 40 s of light: the meter needs 20 s to settle and 20 s to read",
            ),
        };
        vec![svm, pst_lm]
    }
}

/// A hair below, so that a hold at the lowest light counts.
fn darkest(description: &Description) -> f64 {
    let fluxes = || description.channels.iter().map(|channel| channel.flux_lm);
    let full = |shares: &[f64]| {
        fluxes()
            .zip(shares)
            .map(|(flux, share)| flux * share)
            .sum::<f64>()
    };
    let weakest = description
        .recipes
        .iter()
        .map(|recipe| full(&recipe.shares))
        .fold(f64::INFINITY, f64::min);
    0.999 * weakest * description.requirements.lowest_light
}
