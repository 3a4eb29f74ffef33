//! The script, and what a firmware needs to play it.

use super::number as number_of;
use super::recipes::shares;
use crate::emit::parts::{Colour, Fade, Parts};

pub(super) fn script(parts: &Parts<'_>) -> String {
    if parts.fades.is_empty() {
        return String::new();
    }
    let loops = parts.description.script_loops;
    let numbered = || (1..).zip(&parts.fades);
    let fades = numbered().map(|(number, fade)| self::fade(parts, number, fade));
    let paths = numbered().map(|(number, fade)| path(parts, number, fade));
    format!(
        "{}{}
/// Whether the script starts over when it ends.
pub const SCRIPT_LOOPS: bool = {loops};

/// The fades one after the other, from black.
pub static SCRIPT: [Fade; {}] = [
{}];
",
        types(parts),
        paths.collect::<String>(),
        parts.fades.len(),
        fades.collect::<String>()
    )
}

const TYPES: &str = "
/// Where a fade takes the colour.
#[derive(Clone, Copy, Debug)]
pub enum Colour {
    /// Straight to one that is the same at every Level.
    Held(&'static Recipe<CHANNELS>),
    /// To one that is a function of Level.
    Along(KnotsRef<'static, CHANNELS>),
@VARIANT@}

/// A fade of the script.
#[derive(Clone, Copy, Debug)]
pub struct Fade {
    /// In which colour it arrives, and how.
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
@ARM@        }
    }
}
";

/// With paths, if there are any.
fn types(parts: &Parts<'_>) -> String {
    let (variant, arm) = match parts.most_legs() {
        0 => (String::new(), ""),
        legs => (
            format!(
                "    /// Through recipes on the way.\n    Through(&'static Path<CHANNELS, {legs}>),\n"
            ),
            "            Colour::Through(path) => luminaire.fade_through(level, path),\n",
        ),
    };
    TYPES.replace("@VARIANT@", &variant).replace("@ARM@", arm)
}

/// The way of a fade through recipes, called by the number of the fade.
fn path(parts: &Parts<'_>, number: usize, fade: &Fade) -> String {
    if fade.legs.is_empty() {
        return String::new();
    }
    let legs = fade.legs.iter().map(|(given, steps)| {
        format!(
            "    (
        Recipe::new([
{}        ]),
        {},
    ),
",
            shares(parts, 12, given),
            number_of(*steps)
        )
    });
    format!(
        "
const LEGS_OF_FADE_{number}: [(Recipe<CHANNELS>, u32); {}] = [
{}];

/// The way of fade {number}.
pub static PATH_OF_FADE_{number}: Path<CHANNELS, {}> = constant!(Path::new(&LEGS_OF_FADE_{number}));
",
        fade.legs.len(),
        legs.collect::<String>(),
        parts.most_legs()
    )
}

fn fade(parts: &Parts<'_>, number: usize, fade: &Fade) -> String {
    let name = &parts.recipe_names[fade.recipe];
    let colour = match parts.colours[fade.recipe] {
        _ if !fade.legs.is_empty() => format!("Through(&PATH_OF_FADE_{number})"),
        Colour::Plain(_) => format!("Held(&RECIPE_{name})"),
        Colour::Knots(_) => format!("Along(RECIPE_{name}.borrowed())"),
    };
    let pace = match fade.pace {
        0 => "Pace::AT_ONCE".to_owned(),
        steps => format!("Pace::new({})", number_of(steps)),
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
        number_of(fade.level.to_bits().into()),
        number_of(fade.control_steps)
    )
}
