//! Where the luminaire was before a fade.

use milliglow::{Level, Share};

use crate::description::Description;
use crate::run::Step;

/// Where the luminaire was before a fade.
#[derive(Default)]
pub(in crate::check) struct Before {
    pub(super) level: Level,
    pub(super) shares: Vec<Share>,
    pub(super) lights: Vec<f64>,
    pub(super) recipe: Option<usize>,
}

impl Before {
    pub(in crate::check) fn dark(channels: usize) -> Self {
        Self {
            level: Level::OFF,
            shares: vec![Share::NONE; channels],
            lights: vec![0.0; channels],
            recipe: None,
        }
    }

    /// A fade that was cut short has arrived at no recipe.
    pub(in crate::check) fn after(description: &Description, step: &Step) -> Self {
        let recipe = description.script[step.fade].recipe;
        Self {
            level: step.level,
            shares: step.shares.to_vec(),
            lights: step.lights.to_vec(),
            recipe: (step.number >= step.of).then_some(recipe),
        }
    }

    /// Where a fade begins that begins elsewhere at once: that is told, and no step of it.
    pub(in crate::check) fn beginning(self, description: &Description, step: &Step) -> Self {
        match step.from {
            None => self,
            Some(level) => Self {
                level,
                ..Self::after(description, step)
            },
        }
    }
}
