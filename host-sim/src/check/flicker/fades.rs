//! Flicker of fades: the metrics of the light over that of an ideal, unquantised fade, since a wanted fade would itself score.

use std::collections::VecDeque;

use super::super::asked_fade::AskedFade;
use super::super::rules::Rules;
use super::judge::{Figure, figures};
use super::map;
use crate::description::Description;
use crate::metrics::flicker::pst_lm::PstLm;
use crate::metrics::flicker::{Samples, spectrum};
use crate::numbers::significant;
use crate::optics::Decimator;
use crate::run::{MetricRow, Step};
use crate::verdict::Verdict;

/// Samples a second: flat up to 4 kHz, beyond every limit that is judged.
const RATE_HZ: u32 = 16_000;
/// Light whose lines are looked at together.
const WINDOW_SECONDS: usize = 3;

/// Follows the script.
pub(in crate::check) struct FadeFlicker<'a> {
    description: &'a Description,
    asked: AskedFade<'a>,
    decimator: Decimator<1>,
    /// Ideal flux at the control steps that samples still lie between: end of the step in seconds, flux.
    ideal: VecDeque<(f64, f64)>,
    /// The lowest light of the weakest recipe in lm, a hair less, so that a hold there counts.
    darkest: f64,
    /// The full light of the strongest recipe, in lm.
    brightest: f64,
    next_sample_s: f64,
    window: Vec<f64>,
    meter: Option<PstLm>,
    /// The row of every window, and when it began.
    rows: Vec<(MetricRow, f64)>,
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
            darkest: 0.999 * extreme(description, f64::min) * description.requirements.lowest_light,
            brightest: extreme(description, f64::max),
            next_sample_s: decimator.first_sample_s(),
            decimator,
            ideal: VecDeque::from([(0.0, 0.0)]),
            window: Vec::new(),
            meter: PstLm::new(f64::from(RATE_HZ)),
            rows: Vec::new(),
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
            Some(ideal) => self.judge(time, flux / ideal, ideal / self.brightest),
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

    fn judge(&mut self, time: f64, ratio: f64, light: f64) {
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
        let lines = spectrum::lines(samples).unwrap_or_default();
        let row = map::row(self.description, light, &lines);
        self.rows.push((row, time - WINDOW_SECONDS as f64));
        self.window.clear();
    }

    pub(in crate::check) fn verdicts(self) -> Vec<Verdict> {
        if self.description.script.is_empty() {
            return Vec::new();
        }
        let rules = Rules::of(self.description);
        let windows = figures(&rules).map(|figure| self.worst_window(&figure));
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
        windows.into_iter().chain([pst_lm]).collect()
    }

    fn worst_window(&self, figure: &Figure) -> Verdict {
        let windows = self
            .rows
            .iter()
            .map(|(row, begin)| ((figure.of)(row), begin));
        match windows.max_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((value, begin)) => {
                let at = format!("script, {} s", significant(*begin, 4));
                figure
                    .rule
                    .judge(at, value, "worst 3 s of light over the ideal fade's")
            }
            None => {
                let dark = "no 3 s of light at a stretch bright enough to be answered for";
                figure.rule.not_judged("script", dark)
            }
        }
    }
}

/// The weakest or strongest recipe's full flux in lm.
fn extreme(description: &Description, of: fn(f64, f64) -> f64) -> f64 {
    let fluxes = || description.channels.iter().map(|channel| channel.flux_lm);
    let full = |shares: &[f64]| {
        fluxes()
            .zip(shares)
            .map(|(flux, share)| flux * share)
            .sum::<f64>()
    };
    let recipes = description
        .recipes
        .iter()
        .map(|recipe| full(&recipe.shares));
    recipes.reduce(of).unwrap_or(0.0)
}
