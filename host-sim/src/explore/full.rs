//! Full metrics: what `check` finds over the whole range of steady light and for cameras, and of the chip.

use super::scores::Scores;
use crate::check::glimpse::worst_of_steady_light;
use crate::description::Description;

pub(super) fn judge(description: &Description) -> Scores {
    Scores::of(&worst_of_steady_light(description)).worse(&Scores::of_chip(description))
}
