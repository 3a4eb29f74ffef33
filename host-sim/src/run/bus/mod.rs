//! What a luminaire's bus makes of its light: the core's gear or receiver hears the log, control step by control step.

mod asked;
mod gear;
mod receives;
mod recipes;
mod seen;
mod set_up;
mod slots;
mod smoothing;

pub(crate) use receives::{Receives, receiver};
pub(crate) use recipes::Recipes as GearRecipes;
pub use seen::{BusSeen, FrameSeen, Heard};
pub(crate) use set_up::{configured, fresh};
pub(crate) use slots::{Meaning as SlotMeaning, asked_level};
pub use smoothing::{FADE_S, LineState, Smoothed, delay_s, fade_place, smoothed};

use super::course::Course;
use crate::description::{BusKind, Description};

/// What came of a bus.
#[derive(Clone, Debug)]
pub struct Played {
    /// The luminaire with the fades that the bus asked for as its script, and recipes for the colours.
    pub description: Description,
    /// How they follow each other.
    pub course: Course,
    /// What was heard.
    pub seen: BusSeen,
}

/// Plays a luminaire's bus; none without one.
#[must_use]
pub fn played(description: &Description) -> Option<Played> {
    let bus = description.bus.as_ref()?;
    Some(match &bus.kind {
        BusKind::Iec62386(gear) => gear::play(description, bus, gear),
        BusKind::Dmx512(receiver) => slots::play(description, bus, receiver),
    })
}

/// Control steps that a bus is followed.
fn steps(description: &Description, seconds: f64) -> u32 {
    ((seconds * f64::from(description.control_hz)).round() as u32).max(1)
}

/// Control steps stand at whole multiples of their time; when one begins, in µs, rounded down.
fn begin_us(step: u32, control_hz: u32) -> u64 {
    u64::from(step) * 1_000_000 / u64::from(control_hz)
}
