//! The script, and what a firmware needs to play it.

use super::{assigned, number, shares};
use crate::emit::parts::{Colour, Fade, Parts};

pub(super) fn script(parts: &Parts<'_>) -> String {
    if parts.fades.is_empty() {
        return String::new();
    }
    let loops = parts.description.script_loops;
    let fades = parts.fades.iter().enumerate();
    let fades = fades.map(|(place, fade)| self::fade(parts, place, fade));
    let types = match most_legs(parts) {
        0 => TYPES.replace(VARIANT, "").replace(ARM, ""),
        most => TYPES.replace("MOST_LEGS", &most.to_string()),
    };
    format!(
        "{types}{}
/// Whether the script starts over when it ends.
pub const SCRIPT_LOOPS: bool = {loops};

/// The fades one after the other, from black.
pub static SCRIPT: [Fade; {}] = [
{}];
",
        paths(parts),
        parts.fades.len(),
        fades.collect::<String>()
    )
}

/// Of all paths, which have one type.
fn most_legs(parts: &Parts<'_>) -> usize {
    let legs = parts.fades.iter().map(|fade| fade.legs.len());
    legs.max().unwrap_or(0)
}

fn paths(parts: &Parts<'_>) -> String {
    let most = most_legs(parts);
    let fades = parts.fades.iter().enumerate();
    let through = fades.filter(|(_, fade)| !fade.legs.is_empty());
    let path = through.map(|(place, fade)| {
        let (number, count) = (place + 1, fade.legs.len());
        let legs = fade.legs.iter().map(|leg| self::leg(parts, leg));
        let path = assigned(
            &format!("pub static PATH_OF_FADE_{number}: Path<CHANNELS, {most}>"),
            &format!("constant!(Path::new(&LEGS_OF_FADE_{number}))"),
        );
        format!(
            "
const LEGS_OF_FADE_{number}: [(Recipe<CHANNELS>, u32); {count}] = [
{}];

/// What fade {number} of the script goes through.
{path}
",
            legs.collect::<String>()
        )
    });
    path.collect()
}

fn leg(parts: &Parts<'_>, (given, steps): &(Vec<milliglow::Share>, u32)) -> String {
    format!(
        "    (
        Recipe::new([
{}        ]),
        {},
    ),
",
        shares(parts, 12, given),
        number(*steps)
    )
}

/// What the types have for fades through recipes alone.
const VARIANT: &str = "    /// Through recipes on the way.
    Through(&'static Path<CHANNELS, MOST_LEGS>),
";
const ARM: &str = "            Colour::Through(path) => luminaire.fade_through(level, path),
";

const TYPES: &str = "
/// A colour: the same at every Level, or a function of it.
#[derive(Clone, Copy, Debug)]
pub enum Colour {
    /// The same at every Level.
    Held(&'static Recipe<CHANNELS>),
    /// A function of Level.
    Along(KnotsRef<'static, CHANNELS>),
    /// Through recipes on the way.
    Through(&'static Path<CHANNELS, MOST_LEGS>),
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
            Colour::Through(path) => luminaire.fade_through(level, path),
        }
    }
}
";

fn fade(parts: &Parts<'_>, place: usize, fade: &Fade) -> String {
    let name = &parts.recipe_names[fade.recipe];
    let colour = match parts.colours[fade.recipe] {
        _ if !fade.legs.is_empty() => format!("Through(&PATH_OF_FADE_{})", place + 1),
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
