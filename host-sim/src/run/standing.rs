//! A recipe at any Level, as the core luminaire stands there.

use milliglow::Level;
use milliglow::fade::Pace;

use super::driven::{Driven, Stand};
use super::stepped::{Stepped, luminaire};
use crate::description::Description;

/// Where a luminaire comes from: rows of its operating table have hysteresis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// From black.
    Below,
    /// From full.
    Above,
}

/// Both ways to a Level.
pub const BOTH_WAYS: [From; 2] = [From::Below, From::Above];

/// A luminaire that goes from Level to Level of a recipe at once.
pub struct Standing {
    luminaire: Box<dyn Stepped>,
    recipe: usize,
    driven: Vec<Driven>,
    booked: bool,
}

impl Standing {
    /// In the dark.
    #[must_use]
    pub fn new(description: &Description, recipe: usize) -> Self {
        Self {
            luminaire: luminaire(description),
            recipe,
            driven: Driven::all(description),
            booked: description.operating.edge_correction,
        }
    }

    /// How each channel works at a Level.
    pub fn at(&mut self, level: Level, from: From) -> Vec<Stand> {
        self.go(match from {
            From::Below => Level::OFF,
            From::Above => Level::FULL,
        });
        self.go(level);
        self.luminaire.stands()
    }

    /// The mean light of each channel over its full, as [`Driven::light`] gives it.
    pub fn lights(&mut self, level: Level, from: From) -> Vec<f64> {
        let stands = self.at(level, from);
        self.lights_of(&stands)
    }

    /// The same at some stands.
    #[must_use]
    pub fn lights_of(&self, stands: &[Stand]) -> Vec<f64> {
        let channels = self.driven.iter().zip(stands);
        channels
            .map(|(driven, stand)| driven.light(stand, self.booked))
            .collect()
    }

    /// The channels with their drivers.
    #[must_use]
    pub fn driven(&self) -> &[Driven] {
        &self.driven
    }

    fn go(&mut self, level: Level) {
        self.luminaire
            .fade_to_recipe(level, self.recipe, Pace::AT_ONCE);
        self.luminaire.control_step();
    }
}
