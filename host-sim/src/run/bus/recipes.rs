//! Recipes for the colours that a bus asks for.

use milliglow::bus::Colour;
use milliglow::solve::{Chromaticity, Primary, ThreeChannels, TunableWhite};
use milliglow::{Level, Share};

use crate::description::{Bus, Description, Knot, Recipe};
use crate::run::colours::core_shares_at;

/// The recipes of a description, and those that colours made.
pub(crate) struct Recipes<'a> {
    palette: Option<Recipe>,
    primaries: Vec<Primary>,
    made: Vec<(Colour, usize)>,
    pub(super) recipes: Vec<Recipe>,
    bus: &'a Bus,
}

impl<'a> Recipes<'a> {
    pub(crate) fn new(description: &Description, bus: &'a Bus) -> Self {
        Self {
            palette: palette(description, bus),
            primaries: primaries(description),
            made: Vec::new(),
            recipes: description.recipes.clone(),
            bus,
        }
    }

    /// The recipe of a colour by the arithmetic of the core's palette or solver; none for a colour that neither makes.
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
        if let (Colour::Mirek(mirek), Some(palette)) = (colour, &self.palette) {
            return Some(core_shares_at(palette, Level::from_bits(mirek)));
        }
        if matches!(colour, Colour::Mirek(_) | Colour::Chromaticity { .. }) {
            return solved(colour, &self.primaries);
        }
        // As many as a description can have; a palette takes them from the first on.
        let none = milliglow::Recipe::new([Share::NONE; 16]);
        let palette = milliglow::bus::Palette::new([(1, none)]);
        let recipe = palette.ok()?.recipe(colour)?;
        Some(recipe.shares()[..self.primaries.len()].to_vec())
    }
}

/// By the solver that the firmware would run: a pair of whites, or three channels where the colour is a chromaticity.
fn solved(colour: Colour, primaries: &[Primary]) -> Option<Vec<Share>> {
    let place = |x: u16, y: u16| Chromaticity {
        x: f32::from(x) / 65_536.0,
        y: f32::from(y) / 65_536.0,
    };
    match (colour, primaries) {
        (Colour::Chromaticity { x, y }, &[one, other]) => {
            let solved = TunableWhite::new([one, other]).ok()?.solve(place(x, y));
            Some(solved.recipe.shares().to_vec())
        }
        (Colour::Chromaticity { x, y }, &[one, other, third]) => {
            let solved = ThreeChannels::new([one, other, third])
                .ok()?
                .solve(place(x, y));
            Some(solved.recipe.shares().to_vec())
        }
        (Colour::Mirek(mirek), &[one, other]) => {
            let pair = TunableWhite::new([one, other]).ok()?;
            let solved = pair.solve_cct(1e6 / f32::from(mirek.max(1)));
            Some(solved.recipe.shares().to_vec())
        }
        _ => None,
    }
}

fn primaries(description: &Description) -> Vec<Primary> {
    let channels = description.channels.iter();
    channels
        .map(|channel| Primary {
            light: Chromaticity {
                x: channel.x as f32,
                y: channel.y as f32,
            },
            flux: channel.flux_lm as f32,
        })
        .collect()
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
