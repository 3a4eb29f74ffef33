//! A console's fades, which come as a place for every control step: light steps where no jump is asked for.

use super::fade_judge::{cd_m2, flux};
use super::rules::Rules;
use crate::description::Description;
use crate::metrics::StepWatch;
use crate::numbers::percent;
use crate::run::{Step, core_curve};
use crate::verdict::Verdict;

/// Follows all fades.
pub(super) struct ConsoleJudge<'a> {
    description: &'a Description,
    rules: Rules,
    light: StepWatch,
    last_lights: Option<(f64, f64)>,
    /// Control steps in which the light moved.
    moved: u64,
}

impl<'a> ConsoleJudge<'a> {
    pub(super) fn new(description: &'a Description) -> Self {
        Self {
            description,
            rules: Rules::of(description),
            light: watch(description, (0.0, 0.0)),
            last_lights: None,
            moved: 0,
        }
    }

    pub(super) fn see(&mut self, step: &Step) {
        let light = core_curve(self.description.curve)
            .light(step.level)
            .as_f64();
        let now = (light, flux(self.description, step.lights));
        if step.is_jump {
            self.last_lights = Some(now);
            return;
        }
        // After a jump the watch begins anew, and keeps what it found.
        if let Some(before) = self.last_lights.take() {
            let found = (self.light.largest, self.light.largest_jnd);
            self.light = watch(self.description, before);
            (self.light.largest, self.light.largest_jnd) = found;
        }
        self.moved += u64::from(self.light.see(now.0, now.1));
    }

    pub(super) fn verdicts(self) -> Vec<Verdict> {
        let rules = &self.rules;
        let nothing = "nowhere in the log does the light move for as long as bends are felt, 0.6 s before and 2.5 s after";
        let (largest, largest_jnd) = if self.moved == 0 {
            (None, None)
        } else {
            (self.light.largest, self.light.largest_jnd)
        };
        let step = match largest {
            Some(step) => rules.light_step.judge(
                "bus",
                step.ratio,
                format!(
                    "at {} of full, among {} control steps of moving light, away from jumps and bends",
                    percent(step.light),
                    self.moved
                ),
            ),
            None => rules.light_step.not_judged("bus", nothing),
        };
        let jnd = match largest_jnd {
            Some(jnd) => {
                let reason = "largest step between control steps, where 0.05 cd/m2 and more";
                rules.step_jnd.judge("bus", jnd, reason)
            }
            None => rules.step_jnd.not_judged("bus", nothing),
        };
        vec![step.worst(), jnd.worst()]
    }
}

fn watch(description: &Description, (light, flux): (f64, f64)) -> StepWatch {
    let lowest = description.requirements.lowest_light;
    let fade = &description.script[0];
    StepWatch::new(lowest, light, flux, cd_m2(description, fade))
}
