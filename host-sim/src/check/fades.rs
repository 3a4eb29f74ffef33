//! Runs the script and judges every fade: direction, light steps, lit ends, arrival.

use std::mem::take;
use std::panic::resume_unwind;
use std::thread;

use super::asked_fade::AskedFade;
use super::bus_watch::BusWatch;
use super::console_judge::ConsoleJudge;
use super::fade_judge::{Before, FadeJudge};
use super::fade_power::LogPower;
use super::flicker::{FadeFlicker, Feed, feed};
use super::moments::Moments;
use super::rules::Rules;
use super::whites::white_fades;
use crate::description::Description;
use crate::run::{
    BusSeen, Course, FadePower, FadeSpan, Leg, Moment, Played, Step, Track, WhiteFade, ideal_light,
    level, played, rounds, run,
};
use crate::thermal::correction;
use crate::verdict::{Rule, Verdict};

/// What the script gave.
pub(super) struct Scripted {
    pub(super) verdicts: Vec<Verdict>,
    pub(super) moments: Vec<Moment>,
    pub(super) spans: Vec<FadeSpan>,
    pub(super) bus: Option<BusSeen>,
    /// Power through a bus's log.
    pub(super) powers: Vec<FadePower>,
    pub(super) white_fades: Vec<WhiteFade>,
}

/// Runs the script, or the bus in its place; `progress` hears the fraction that is done. Flicker is judged beside it, on a thread of its
/// own.
pub(super) fn run_script(description: &Description, progress: impl FnMut(f64)) -> Scripted {
    if let Some(played) = played(description) {
        return run_bus(played, progress);
    }
    let course = Course::of_script(description);
    if course.steps() == 0 {
        return Scripted {
            verdicts: Judged::new(description).verdicts(),
            moments: Vec::new(),
            spans: Vec::new(),
            bus: None,
            powers: Vec::new(),
            white_fades: Vec::new(),
        };
    }
    let (verdicts, moments) = run_course(description, &course, |_| (), progress);
    Scripted {
        verdicts,
        moments,
        spans: spans(description, &course),
        bus: None,
        powers: Vec::new(),
        white_fades: white_fades(description, &course),
    }
}

fn run_bus(played: Played, progress: impl FnMut(f64)) -> Scripted {
    let Played {
        description,
        course,
        seen,
    } = played;
    let mut watch = BusWatch::new(&description, &course, seen);
    let configuration = correction(&description);
    let mut power = LogPower::new(&description, &configuration);
    let see = |step: &Step| {
        watch.see(step);
        power.see(step);
    };
    let (verdicts, moments) = run_course(&description, &course, see, progress);
    let (told, seen) = watch.end();
    Scripted {
        verdicts: [verdicts, told].concat(),
        moments,
        spans: spans(&description, &course),
        bus: Some(seen),
        powers: power.end(),
        white_fades: white_fades(&description, &course),
    }
}

fn run_course(
    description: &Description,
    course: &Course,
    mut see: impl FnMut(&Step),
    progress: impl FnMut(f64),
) -> (Vec<Verdict>, Vec<Moment>) {
    thread::scope(|scope| {
        let (feed, blocks) = feed(description.channels.len(), description.control_hz);
        let flicker = scope.spawn(|| FadeFlicker::new(description).judge(blocks));
        let (judged, moments) = follow(description, course, feed, &mut see, progress);
        let flicker = flicker.join().unwrap_or_else(|panic| resume_unwind(panic));
        ([judged, flicker].concat(), moments)
    })
}

fn follow(
    description: &Description,
    course: &Course,
    mut feed: Feed,
    see: &mut impl FnMut(&Step),
    mut progress: impl FnMut(f64),
) -> (Vec<Verdict>, Vec<Moment>) {
    let steps = course.steps();
    let round_steps = steps / u64::from(rounds(description));
    let mut asked = AskedFade::new(description);
    let mut moments = Moments::new(description, round_steps);
    let mut judged = Judged::new(description);
    let mut console = ConsoleJudge::new(description);
    run(description, course, |step| {
        let flux = match course {
            Course::Fades(_) => asked.see(step),
            Course::Track(track) => smooth_flux(description, track, step),
        };
        if step.round == 0 {
            moments.see(step, flux);
        }
        match course {
            Course::Track(_) => console.see(step),
            // From the second round on only the first fade begins elsewhere: where the script ends.
            Course::Fades(_) if step.round == 0 || (step.round, step.fade) == (1, 0) => {
                judged.see(step);
            }
            Course::Fades(_) => {}
        }
        feed.see(step, flux);
        see(step);
        if step.overall.is_multiple_of(1_024) {
            progress(step.overall as f64 / steps as f64);
        }
    });
    feed.end();
    let verdicts = match course {
        Course::Track(_) => console.verdicts(),
        Course::Fades(_) => judged.verdicts(),
    };
    (verdicts, moments.kept)
}

/// Flux in lm of the light without steps.
fn smooth_flux(description: &Description, track: &Track, step: &Step) -> f64 {
    let place = &track.smooth[step.number as usize - 1];
    place.full_lm * ideal_light(description.curve, place.level)
}

fn spans(description: &Description, course: &Course) -> Vec<FadeSpan> {
    let Course::Fades(legs) = course else {
        return Vec::new();
    };
    let mut end = 0;
    let span = |leg: &Leg| {
        let begin = end;
        end += u64::from(leg.steps);
        let fade = &description.script[leg.fade];
        let seconds = |step: u64| step as f64 / f64::from(description.control_hz);
        FadeSpan {
            recipe: fade.recipe,
            level: level(description, fade.level).to_bits(),
            begin_s: seconds(begin),
            end_s: seconds(end),
        }
    };
    let first_round = legs.iter().filter(|leg| leg.round == 0);
    first_round.map(span).collect()
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
        let description = self.description;
        if step.number == 1 {
            let before = take(&mut self.before).beginning(description, step);
            self.now = Some(FadeJudge::new(description, step, &before));
        }
        if let Some(judge) = &mut self.now {
            judge.see(step);
        }
        if step.number == step.of {
            self.rows.extend(
                self.now
                    .take()
                    .into_iter()
                    .flat_map(|judge| judge.verdicts(&self.rules)),
            );
        }
        if step.is_last {
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
        // A bus can ask for thousands of fades.
        let is_long = self.rows.len() > MOST_ROWS;
        let rows = self.rows.into_iter().filter(|_| !is_long);
        rows.chain(closing).collect()
    }
}

/// Rows of single fades that are told beside the worst of each rule; a script's longest has fewer.
const MOST_ROWS: usize = 7_000;

pub(super) fn worst_of(rule: &Rule, rows: &[Verdict]) -> Verdict {
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
