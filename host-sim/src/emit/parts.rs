//! A luminaire in the parts that both languages write down.

use milliglow::{Level, Share};

use super::identifier::{distinct, of_luminaire};
use super::tables::{Rows, Shared, modulations, tables};
use crate::description::{Description, Modulation, Recipe};
use crate::run::{control_steps, core_shares, legs, level};

/// All that is written, with the names that it gets.
pub(super) struct Parts<'d> {
    pub(super) description: &'d Description,
    /// Of the inputs, in hexadecimal.
    pub(super) digest: &'d str,
    /// What files are called.
    pub(super) name: String,
    /// In upper case, as all names of parts.
    pub(super) channel_names: Vec<String>,
    pub(super) recipe_names: Vec<String>,
    pub(super) tables: Vec<Shared<Rows>>,
    pub(super) modulations: Vec<Shared<Modulation>>,
    pub(super) colours: Vec<Colour>,
    pub(super) fades: Vec<Fade>,
}

/// A recipe in the core's shares.
pub(super) enum Colour {
    Plain(Vec<Share>),
    Knots(Vec<(Level, Vec<Share>)>),
}

/// An entry of the script in control steps.
pub(super) struct Fade {
    pub(super) recipe: usize,
    pub(super) level: Level,
    /// Control steps from begin to arrival, 0 for a jump.
    pub(super) pace: u32,
    /// Control steps until the next fade begins, at least 1.
    pub(super) control_steps: u32,
    /// Recipes on the way and the last one, with the control steps of the way to each; none for a fade that goes straight.
    pub(super) legs: Vec<(Vec<Share>, u32)>,
}

impl<'d> Parts<'d> {
    pub(super) fn of(description: &'d Description, digest: &'d str) -> Self {
        let channels = description.channels.iter();
        let recipes = description.recipes.iter();
        Self {
            description,
            digest,
            name: of_luminaire(&description.name),
            channel_names: distinct(channels.map(|channel| channel.name.as_str())),
            recipe_names: distinct(recipes.clone().map(|recipe| recipe.name.as_str())),
            tables: tables(description),
            modulations: modulations(description),
            colours: recipes.map(colour).collect(),
            fades: fades(description),
        }
    }

    /// The lines that open every file, without the marks of a comment.
    pub(super) fn head(&self) -> Vec<String> {
        let Self { description, .. } = self;
        let mut lines = vec![
            format!("The luminaire {:?} for milliglow.", description.name),
            String::new(),
            format!(
                "{} {}, from inputs with the SHA-256 digest",
                super::MARK,
                env!("CARGO_PKG_VERSION")
            ),
            format!("{}:", self.digest),
            "change those and write this anew.".to_owned(),
        ];
        if let Some(note) = &description.note {
            lines.push(String::new());
            lines.extend(note.lines().map(|line| format!("{line:?}")));
        }
        lines
    }

    /// The channels that share something, by the names that the file gives them.
    pub(super) fn channels<T>(&self, shared: &Shared<T>) -> String {
        let channels = &self.description.channels;
        let names = shared.channels.iter().map(|&k| channels[k].name.as_str());
        names.collect::<Vec<_>>().join(", ")
    }

    /// A shared part is called like the first channel that it serves.
    pub(super) fn called<T>(&self, shared: &Shared<T>) -> &str {
        &self.channel_names[shared.channels[0]]
    }

    /// Most legs of a fade through recipes; 0 where all go straight.
    pub(super) fn most_legs(&self) -> usize {
        let legs = self.fades.iter().map(|fade| fade.legs.len());
        legs.max().unwrap_or(0)
    }

    /// The part that serves a channel, by its place.
    pub(super) fn of_channel<T>(shared: &[Shared<T>], channel: usize) -> Option<usize> {
        shared
            .iter()
            .position(|shared| shared.channels.contains(&channel))
    }
}

fn colour(recipe: &Recipe) -> Colour {
    if recipe.knots.is_empty() {
        return Colour::Plain(core_shares(&recipe.shares));
    }
    let knots = recipe.knots.iter();
    Colour::Knots(
        knots
            .map(|knot| (Level::from_bits(knot.level), core_shares(&knot.shares)))
            .collect(),
    )
}

fn fades(description: &Description) -> Vec<Fade> {
    let fades = description.script.iter();
    fades
        .map(|fade| {
            let control_steps = control_steps(description, fade);
            Fade {
                recipe: fade.recipe,
                level: level(description, fade.level),
                pace: if fade.seconds == 0.0 {
                    0
                } else {
                    control_steps
                },
                control_steps,
                legs: match fade.through.is_empty() {
                    true => Vec::new(),
                    false => legs(description, fade),
                },
            }
        })
        .collect()
}
