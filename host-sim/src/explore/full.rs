//! Full metrics: what `check` finds over the whole range of steady light and for cameras, and of the chip.

use super::scores::Scores;
use crate::check::glimpse::{Limits, bands, flicker_until, worst_flicker, worst_pulses};
use crate::description::Description;

/// Whether figures of a stage tell that no more are wanted.
pub(super) type IsEnough<'a> = dyn Fn(&Scores) -> bool + Sync + 'a;

/// Figures, and whether they are all of their stage: those of lines end where they are enough.
type Stage = fn(&Description, &IsEnough) -> (Scores, bool);

/// Every figure is of one stage. Where streams must be drawn, cameras take some hundredths of a second of each, lines two seconds at
/// each of some fifty lights until they are enough and then PstLM minutes, pulses a second at each of more lights.
pub(super) const STAGES: [Stage; 3] = [chip_and_bands, lines, pulses];

fn chip_and_bands(description: &Description, _: &IsEnough) -> (Scores, bool) {
    let chip = Scores::of_chip(description);
    (Scores::of(&bands(description)).worse(&chip), true)
}

fn lines(description: &Description, is_enough: &IsEnough) -> (Scores, bool) {
    let limits = Limits::of(description);
    let (maps, is_whole) =
        flicker_until(description, &|row| is_enough(&Scores::of_row(&limits, row)));
    let scores = match is_whole {
        true => Scores::of(&worst_flicker(description, &maps)),
        false => {
            let rows = maps.iter().flat_map(|map| &map.rows);
            let rows = rows.map(|row| Scores::of_row(&limits, row));
            rows.fold(Scores::default(), |known, row| known.worse(&row))
        }
    };
    (scores, is_whole)
}

fn pulses(description: &Description, _: &IsEnough) -> (Scores, bool) {
    (Scores::of(&worst_pulses(description)), true)
}

/// All of them.
pub(super) fn judge(description: &Description) -> Scores {
    let stages = STAGES.iter().map(|stage| stage(description, &|_| false).0);
    stages.fold(Scores::default(), |known, found| known.worse(&found))
}

/// Whether no stage finds a requirement broken.
pub(super) fn keeps_all(description: &Description) -> bool {
    let breaks = |scores: &Scores| !scores.keep_all();
    STAGES
        .iter()
        .all(|stage| stage(description, &breaks).0.keep_all())
}
