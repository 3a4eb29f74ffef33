//! Full metrics: what `check` finds over the whole range of steady light and for cameras, and of the chip.

use super::scores::Scores;
use crate::check::glimpse::{bands, worst_lines, worst_pulses};
use crate::description::Description;

/// Every figure is of one stage. Where streams must be drawn, cameras take some hundredths of a second of each, pulses a second, and
/// lines minutes.
pub(super) const STAGES: [fn(&Description) -> Scores; 3] = [
    |description| Scores::of(&bands(description)).worse(&Scores::of_chip(description)),
    |description| Scores::of(&worst_pulses(description)),
    |description| Scores::of(&worst_lines(description)),
];

/// All of them.
pub(super) fn judge(description: &Description) -> Scores {
    let stages = STAGES.iter().map(|stage| stage(description));
    stages.fold(Scores::default(), |known, found| known.worse(&found))
}

/// Whether no stage finds a requirement broken.
pub(super) fn keeps_all(description: &Description) -> bool {
    STAGES.iter().all(|stage| stage(description).keep_all())
}
