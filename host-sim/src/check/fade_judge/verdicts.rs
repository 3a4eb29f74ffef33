//! Verdicts on a fade that has ended.

use super::super::fade_remedy::{jnd_remedy, step_remedy, tail_remedy};
use super::super::rules::Rules;
use super::FadeJudge;
use crate::metrics::LightStep;
use crate::numbers::percent;
use crate::verdict::{Rule, Verdict};

impl FadeJudge<'_> {
    /// What the fade showed; a rule that it could not show gives no row.
    pub(super) fn movement(&self, rules: &Rules, at: &str) -> Vec<Verdict> {
        let step = self
            .light
            .largest
            .map(|largest| self.step(&rules.light_step, at, largest));
        let jnd = self
            .light
            .largest_jnd
            .map(|jnd| self.jnd(&rules.step_jnd, at, jnd));
        let first = self
            .light
            .first_lit
            .map(|light| self.end(&rules.first_lit_light, at, light));
        let last = self
            .light
            .last_lit
            .map(|light| self.end(&rules.last_lit_light, at, light));
        let shown = [step, jnd, first, last].into_iter().flatten();
        [self.direction(&rules.wrong_way_steps, at)]
            .into_iter()
            .chain(shown)
            .collect()
    }

    fn direction(&self, rule: &Rule, at: &str) -> Verdict {
        let channels = self.channels.iter().map(|(_, watch)| watch.wrong_way);
        let wrong = self.level.wrong_way + channels.sum::<u64>();
        rule.judge(
            at,
            wrong as f64,
            "control steps in which the Level or a channel moved away from its target",
        )
    }

    fn step(&self, rule: &Rule, at: &str, largest: LightStep) -> Verdict {
        let reason = format!(
            "at {} light, one control step of {}",
            percent(largest.light),
            self.steps
        );
        rule.judge(at, largest.ratio, reason).mended_by(|| {
            Some(step_remedy(
                self.description,
                self.levels,
                self.steps,
                largest.ratio,
                rule.limit,
            ))
        })
    }

    fn jnd(&self, rule: &Rule, at: &str, jnd: f64) -> Verdict {
        rule.judge(
            at,
            jnd,
            "largest step between control steps, where 0.05 cd/m2 and more",
        )
        .mended_by(|| {
            Some(jnd_remedy(
                self.description,
                self.levels,
                self.steps,
                jnd,
                rule.limit,
            ))
        })
    }

    fn end(&self, rule: &Rule, at: &str, light: f64) -> Verdict {
        rule.judge(
            at,
            light,
            format!("{} of full light beside black", percent(light)),
        )
        .mended_by(|| Some(tail_remedy(self.description, self.steps, rule.limit)))
    }
}
