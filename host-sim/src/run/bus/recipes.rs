//! Recipes for the colours that a bus asks for.

use milliglow::bus::Colour;
use milliglow::{Level, Share};

use crate::description::{Bus, Description, Knot, Recipe};
use crate::run::colours::core_shares_at;

/// The recipes of a description, and those that colours made.
pub(crate) struct Recipes<'a> {
    palette: Option<Recipe>,
    channels: usize,
    made: Vec<(Colour, usize)>,
    pub(super) recipes: Vec<Recipe>,
    bus: &'a Bus,
}

impl<'a> Recipes<'a> {
    pub(crate) fn new(description: &Description, bus: &'a Bus) -> Self {
        Self {
            palette: palette(description, bus),
            channels: description.channels.len(),
            made: Vec::new(),
            recipes: description.recipes.clone(),
            bus,
        }
    }

    /// The recipe of a colour by the arithmetic of the core's palette; none for a colour that needs a solver.
    pub(super) fn of(&mut self, colour: Colour) -> Option<usize> {
        if let Some((_, recipe)) = self.made.iter().find(|(made, _)| *made == colour) {
            return Some(*recipe);
        }
        if let Colour::Mirek(mirek) = colour
            && let Some(prepared) = self.bus.palette.iter().find(|at| at.mirek == mirek)
        {
            return Some(prepared.recipe);
        }
        let shares = self.shares(colour)?;
        let shares = shares.iter().map(|share| share.to_bits());
        let shares = shares
            .map(|bits| f64::from(bits) / 4_294_967_296.0)
            .collect();
        self.recipes.push(Recipe::plain(name(colour), shares));
        self.made.push((colour, self.recipes.len() - 1));
        Some(self.recipes.len() - 1)
    }

    /// The shares of a colour, one a channel.
    pub(crate) fn shares(&self, colour: Colour) -> Option<Vec<Share>> {
        if let Colour::Mirek(mirek) = colour {
            let palette = self.palette.as_ref()?;
            return Some(core_shares_at(palette, Level::from_bits(mirek)));
        }
        // As many as a description can have; a palette takes them from the first on.
        let none = milliglow::Recipe::new([Share::NONE; 16]);
        let palette = milliglow::bus::Palette::new([(1, none)]);
        let recipe = palette.ok()?.recipe(colour)?;
        Some(recipe.shares()[..self.channels].to_vec())
    }
}

/// The core's palette is knots over mirek: so is this.
fn palette(description: &Description, bus: &Bus) -> Option<Recipe> {
    let knots: Vec<Knot> = bus
        .palette
        .iter()
        .map(|prepared| Knot {
            level: prepared.mirek,
            shares: description.recipes[prepared.recipe].shares.clone(),
        })
        .collect();
    (!knots.is_empty()).then(|| Recipe::through("palette", knots))
}

fn name(colour: Colour) -> String {
    match colour {
        Colour::Mirek(mirek) => format!("{mirek} mirek"),
        Colour::Primaries(levels) => format!("primaries {levels:?}"),
        Colour::Rgbwaf(levels) => format!("levels {levels:?}"),
        Colour::Chromaticity { x, y } => format!("x {x}, y {y}"),
    }
}
