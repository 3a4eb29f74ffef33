//! The script, and what a firmware needs to play it.

use super::number;
use crate::emit::parts::{Colour, Fade, Parts};

pub(super) fn script(parts: &Parts<'_>) -> String {
    if parts.fades.is_empty() {
        return String::new();
    }
    let loops = parts.description.script_loops;
    let fades = parts.fades.iter().map(|fade| self::fade(parts, fade));
    format!(
        "{TYPES}
/// Whether the script starts over when it ends.
pub const SCRIPT_LOOPS: bool = {loops};

/// The fades one after the other, from black.
pub static SCRIPT: [Fade; {}] = [
{}];
",
        parts.fades.len(),
        fades.collect::<String>()
    )
}

const TYPES: &str = "
/// A colour: the same at every Level, or a function of it.
#[derive(Clone, Copy, Debug)]
pub enum Colour {
    /// The same at every Level.
    Held(&'static Recipe<CHANNELS>),
    /// A function of Level.
    Along(KnotsRef<'static, CHANNELS>),
}

/// A fade of the script.
#[derive(Clone, Copy, Debug)]
pub struct Fade {
    /// In which colour it arrives.
    pub colour: Colour,
    /// At which Level.
    pub level: Level,
    /// How long it takes.
    pub pace: Pace,
    /// Control steps until the next fade begins.
    pub control_steps: u32,
}

impl Fade {
    /// Sends the luminaire on its way: before the first of its control steps.
    pub fn begin(&self, luminaire: &mut Luminaire<'static, CHANNELS>) {
        let level = self.level;
        match self.colour {
            Colour::Held(&recipe) => luminaire.fade_to(&Target { level, recipe }, self.pace),
            Colour::Along(knots) => luminaire.fade_along(level, knots, self.pace),
        }
    }
}
";

fn fade(parts: &Parts<'_>, fade: &Fade) -> String {
    let name = &parts.recipe_names[fade.recipe];
    let colour = match parts.colours[fade.recipe] {
        Colour::Plain(_) => format!("Held(&RECIPE_{name})"),
        Colour::Knots(_) => format!("Along(RECIPE_{name}.borrowed())"),
    };
    let pace = match fade.pace {
        0 => "Pace::AT_ONCE".to_owned(),
        steps => format!("Pace::new({})", number(steps)),
    };
    format!(
        "    // To {:?} at Level {}.
    Fade {{
        colour: Colour::{colour},
        level: Level::from_bits({}),
        pace: {pace},
        control_steps: {},
    }},
",
        parts.description.recipes[fade.recipe].name,
        fade.level.to_bits(),
        number(fade.level.to_bits().into()),
        number(fade.control_steps)
    )
}
