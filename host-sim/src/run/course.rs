//! What moves the luminaire: fades one after the other, or a place for every control step.

use milliglow::fade::Pace;
use milliglow::{Level, Share};

use super::asked::level;
use super::script::{control_steps, rounds};
use crate::description::Description;

/// What moves the luminaire.
#[derive(Clone, Debug)]
pub enum Course {
    /// Fades of the description's script.
    Fades(Vec<Leg>),
    /// A place for every control step.
    Track(Track),
}

/// A fade, until the next one begins.
#[derive(Clone, Debug)]
pub struct Leg {
    /// How often the script has ended before.
    pub round: u32,
    /// Index of the fade in the script.
    pub fade: usize,
    /// Where the light begins at once, where that is not where it is.
    pub from: Option<Level>,
    /// Control steps to its arrival, at least 1.
    pub of: u32,
    /// Whether it takes no time.
    pub is_jump: bool,
    /// Control steps until the next one: fewer cut it short, more hold the light.
    pub steps: u32,
}

/// Where a luminaire is told to be at once, a control step each.
#[derive(Clone, Debug, Default)]
pub struct Track {
    /// Level.
    pub levels: Vec<Level>,
    /// Shares: up to which control step, counted from the begin, and what they are.
    pub shares: Vec<(usize, Vec<Share>)>,
    /// Where a light without steps would be: Level and channel shares over their full ones.
    pub smooth: Vec<SmoothPlace>,
    /// Whether no fade is asked for here that its flicker could be compared with.
    pub is_bent: Vec<bool>,
}

/// A place without steps.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SmoothPlace {
    /// Level, 0 to 65 535.
    pub level: f64,
    /// Flux of all channels at full light, in lm.
    pub full_lm: f64,
}

impl Course {
    /// The description's script with all its rounds.
    #[must_use]
    pub fn of_script(description: &Description) -> Self {
        let legs = (0..rounds(description)).flat_map(|round| {
            let fades = description.script.iter().enumerate();
            fades.map(move |(fade, entry)| {
                let of = control_steps(description, entry);
                Leg {
                    round,
                    fade,
                    from: None,
                    of,
                    is_jump: entry.seconds == 0.0,
                    steps: of,
                }
            })
        });
        Self::Fades(legs.collect())
    }

    /// Control steps in all.
    #[must_use]
    pub fn steps(&self) -> u64 {
        match self {
            Self::Fades(legs) => legs.iter().map(|leg| u64::from(leg.steps)).sum(),
            Self::Track(track) => track.levels.len() as u64,
        }
    }
}

impl Leg {
    /// The Level that it goes to.
    pub(super) fn level(&self, description: &Description) -> Level {
        level(description, description.script[self.fade].level)
    }

    /// How long it takes.
    pub(super) const fn pace(&self) -> Pace {
        if self.is_jump {
            Pace::AT_ONCE
        } else {
            Pace::new(self.of)
        }
    }
}
