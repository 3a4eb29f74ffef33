//! The script as an ideal luminaire would run it: unquantised in time, Level and share.

use std::borrow::Cow;
use std::iter;

use crate::description::{Description, Fade};
use crate::run::{Step, control_steps, ideal_light, leg_ends, level};
use milliglow::Level;

/// Where the ideal luminaire is when a fade begins.
pub(super) struct AskedFade<'a> {
    description: &'a Description,
    level: f64,
    shares: Vec<f64>,
    /// The recipe that stands.
    recipe: Option<usize>,
    /// The Level that each fade goes to.
    targets: Vec<f64>,
    /// The fade that runs, and how much of its way is behind.
    running: Option<(usize, f64)>,
}

impl<'a> AskedFade<'a> {
    /// In the dark.
    pub(super) fn new(description: &'a Description) -> Self {
        let target = |fade: &Fade| f64::from(level(description, fade.level).to_bits());
        Self {
            description,
            targets: description.script.iter().map(target).collect(),
            level: 0.0,
            shares: vec![0.0; description.channels.len()],
            recipe: None,
            running: None,
        }
    }

    /// Flux in lm after a control step.
    pub(super) fn see(&mut self, step: &Step) -> f64 {
        if step.number == 1 {
            self.set_out(step.fade, step.from);
        }
        let way = (f64::from(step.number) / f64::from(step.of)).min(1.0);
        self.running = Some((step.fade, way));
        let flux = self.flux(step.fade, way);
        if step.number == step.of {
            self.arrive(step.fade);
        }
        flux
    }

    /// From where the fade before was cut short, or from where this one begins at once.
    pub(super) fn set_out(&mut self, fade: usize, from: Option<Level>) {
        if let Some((cut, way)) = self.running.filter(|(_, way)| *way < 1.0) {
            let shares = self.shares_at(cut, way).into_owned();
            self.level = self.level_at(cut, way);
            (self.shares, self.recipe) = (shares, None);
        }
        if let Some(from) = from {
            self.level = f64::from(from.to_bits());
            self.recipe = Some(self.description.script[fade].recipe);
        }
    }

    /// The fade that runs ends a part of the way along: cut short, or there.
    pub(super) fn end(&mut self, fade: usize, way: f64) {
        self.running = Some((fade, way));
        if way >= 1.0 {
            self.arrive(fade);
        }
    }

    /// Flux in lm a part of the way, 0 to 1, along a fade of the script.
    pub(super) fn flux(&self, fade: usize, way: f64) -> f64 {
        let light = self.light_at(fade, way);
        let fluxes = self
            .description
            .channels
            .iter()
            .map(|channel| channel.flux_lm);
        fluxes
            .zip(self.shares_at(fade, way).iter())
            .map(|(flux, share)| flux * share * light)
            .sum()
    }

    /// The next fade begins where this one ended.
    pub(super) fn arrive(&mut self, fade: usize) {
        self.shares = self.shares_at(fade, 1.0).into_owned();
        self.level = self.targets[fade];
        self.recipe = Some(self.description.script[fade].recipe);
    }

    /// The name of the recipe that a fade goes to, and how many it goes through.
    pub(super) fn goes_to(&self, fade: usize) -> (&'a str, usize) {
        let fade = &self.description.script[fade];
        (
            &self.description.recipes[fade.recipe].name,
            fade.through.len(),
        )
    }

    /// Light as a fraction of full a part of the way along a fade.
    pub(super) fn light_at(&self, fade: usize, way: f64) -> f64 {
        ideal_light(self.description.curve, self.level_at(fade, way))
    }

    fn level_at(&self, fade: usize, way: f64) -> f64 {
        self.level + (self.targets[fade] - self.level) * way
    }

    /// Straight on from where the fade began; from black, or on the way along one recipe, the colour of the Level is there.
    pub(super) fn shares_at(&self, fade: usize, way: f64) -> Cow<'_, [f64]> {
        let through = &self.description.script[fade].through;
        if !through.is_empty() {
            return self.on_a_leg(fade, way).into();
        }
        let number = self.description.script[fade].recipe;
        let recipe = &self.description.recipes[number];
        if self.level == 0.0 || self.recipe == Some(number) {
            return recipe.shares_at(self.level_at(fade, way));
        }
        let goals = recipe.shares_at(self.targets[fade]);
        between(&self.shares, &goals, way).into()
    }

    /// Straight from recipe to recipe; out of the dark the first is there at once.
    fn on_a_leg(&self, fade: usize, way: f64) -> Vec<f64> {
        let script = &self.description.script[fade];
        let steps = control_steps(self.description, script);
        let ends = leg_ends(steps, script.through.len() + 1);
        let end = |leg: usize| f64::from(ends[leg]) / f64::from(steps);
        let leg = (0..ends.len() - 1).find(|&leg| way < end(leg));
        let leg = leg.unwrap_or(ends.len() - 1);
        let begin = if leg == 0 { 0.0 } else { end(leg - 1) };
        let dark = self.level == 0.0;
        let first = if dark {
            &script.through[0]
        } else {
            &self.shares
        };
        let last = &self.description.recipes[script.recipe].shares;
        let mut recipes = iter::once(first)
            .chain(&script.through)
            .chain([last])
            .skip(leg);
        let (from, to) = (recipes.next(), recipes.next());
        let part = (way - begin) / (end(leg) - begin);
        between(from.unwrap_or(last), to.unwrap_or(last), part)
    }
}

/// A part of the way from shares to others.
pub(super) fn between(from: &[f64], to: &[f64], part: f64) -> Vec<f64> {
    let shares = from.iter().zip(to);
    shares.map(|(from, to)| from + (to - from) * part).collect()
}
