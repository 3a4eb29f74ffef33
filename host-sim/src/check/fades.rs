//! Runs the script and judges every fade: direction, light steps, lit ends, arrival.

use std::panic::resume_unwind;
use std::thread;

use super::asked_fade::AskedFade;
use super::fade_judge::{Before, FadeJudge};
use super::flicker::{FadeFlicker, Feed, feed};
use super::moments::Moments;
use super::rules::Rules;
use crate::description::Description;
use crate::run::{FadeSpan, Moment, Step, control_steps, level, round_steps, rounds, run};
use crate::verdict::{Rule, Verdict};

/// What the script gave.
pub(super) struct Scripted {
    pub(super) verdicts: Vec<Verdict>,
    pub(super) moments: Vec<Moment>,
    pub(super) spans: Vec<FadeSpan>,
}

/// Runs the script; `progress` hears the fraction that is done. Flicker is judged beside it, on a thread of its own.
pub(super) fn run_script(description: &Description, progress: impl FnMut(f64)) -> Scripted {
    if description.script.is_empty() {
        return Scripted {
            verdicts: Judged::new(description).verdicts(),
            moments: Vec::new(),
            spans: Vec::new(),
        };
    }
    thread::scope(|scope| {
        let (feed, blocks) = feed(description.channels.len(), description.control_hz);
        let flicker = scope.spawn(|| FadeFlicker::new(description).judge(blocks));
        let (judged, moments) = follow(description, feed, progress);
        let flicker = flicker.join().unwrap_or_else(|panic| resume_unwind(panic));
        Scripted {
            verdicts: [judged, flicker].concat(),
            moments,
            spans: spans(description),
        }
    })
}

fn follow(
    description: &Description,
    mut feed: Feed,
    mut progress: impl FnMut(f64),
) -> (Vec<Verdict>, Vec<Moment>) {
    let round_steps = round_steps(description);
    let steps = round_steps * u64::from(rounds(description));
    let mut asked = AskedFade::new(description);
    let mut moments = Moments::new(description, round_steps);
    let mut judged = Judged::new(description);
    run(description, |step| {
        let flux = asked.flux(step.fade, f64::from(step.number) / f64::from(step.of));
        if step.number == step.of {
            asked.arrive(step.fade);
        }
        if step.round == 0 {
            moments.see(step, flux);
        }
        // From the second round on only the first fade begins elsewhere: where the script ends.
        if step.round == 0 || (step.round, step.fade) == (1, 0) {
            judged.see(step);
        }
        feed.see(step, flux);
        if step.overall.is_multiple_of(1_024) {
            progress(step.overall as f64 / steps as f64);
        }
    });
    feed.end();
    (judged.verdicts(), moments.kept)
}

fn spans(description: &Description) -> Vec<FadeSpan> {
    let mut end = 0;
    let span = |fade| {
        let begin = end;
        end += u64::from(control_steps(description, fade));
        let seconds = |step: u64| step as f64 / f64::from(description.control_hz);
        FadeSpan {
            recipe: fade.recipe,
            level: level(description, fade.level).to_bits(),
            begin_s: seconds(begin),
            end_s: seconds(end),
        }
    };
    description.script.iter().map(span).collect()
}

/// The verdicts of all fades, one fade after the other.
struct Judged<'a> {
    description: &'a Description,
    rules: Rules,
    before: Before,
    now: Option<FadeJudge<'a>>,
    rows: Vec<Verdict>,
}

impl<'a> Judged<'a> {
    fn new(description: &'a Description) -> Self {
        let before = Before::dark(description.channels.len());
        Self {
            description,
            rules: Rules::of(description),
            before,
            now: None,
            rows: Vec::new(),
        }
    }

    fn see(&mut self, step: &Step) {
        let (description, before) = (self.description, &self.before);
        let judge = self
            .now
            .get_or_insert_with(|| FadeJudge::new(description, step, before));
        judge.see(step);
        if step.number == step.of {
            self.rows.extend(
                self.now
                    .take()
                    .into_iter()
                    .flat_map(|judge| judge.verdicts(&self.rules)),
            );
            self.before = Before::after(description, step);
        }
    }

    /// All rows, the worst of each rule, and the rules that no fade of the script could show.
    fn verdicts(self) -> Vec<Verdict> {
        let rules = &self.rules;
        let all = [
            &rules.wrong_way_steps,
            &rules.light_step,
            &rules.step_jnd,
            &rules.first_lit_light,
            &rules.last_lit_light,
            &rules.arrival_spread,
            &rules.arrival_error,
        ];
        let closing: Vec<_> = all
            .into_iter()
            .map(|rule| worst_of(rule, &self.rows))
            .collect();
        self.rows.into_iter().chain(closing).collect()
    }
}

fn worst_of(rule: &Rule, rows: &[Verdict]) -> Verdict {
    let judged = rows
        .iter()
        .filter(|row| row.id == rule.id && row.value.is_some());
    match judged.max_by(|a, b| {
        a.value
            .partial_cmp(&b.value)
            .unwrap_or(std::cmp::Ordering::Equal)
    }) {
        Some(worst) => worst.clone().worst(),
        None => rule.not_judged("script", "no fade of the script shows it"),
    }
}
