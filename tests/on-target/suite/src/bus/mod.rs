//! What a bus brings: frames, packets and time stamps in, answers and movements hashed.

mod clock;
mod gear;
mod palette;
mod queue;
mod settings;
mod slots;
mod stored;

use milliglow::bus::{Colour, Movement};

use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    report("control clock", clock::script());
    report("fade times", settings::codes());
    report("control gear", gear::script());
    report("palette", palette::script());
    report("frame queue", queue::script());
    report("slots", slots::script());
    report("books", stored::books());
    report("playback", stored::playback());
}

fn hash_colour(colour: Option<Colour>, hash: &mut Hash) {
    match colour {
        None => hash.word(0),
        Some(Colour::Chromaticity { x, y }) => hash.words([1, x.into(), y.into()]),
        Some(Colour::Mirek(mirek)) => hash.words([2, mirek.into()]),
        Some(Colour::Primaries(levels)) => {
            hash.word(3);
            hash.words(levels.map(u32::from));
        }
        Some(Colour::Rgbwaf(levels)) => {
            hash.word(4);
            hash.words(levels.map(u32::from));
        }
    }
}

fn hash_movement(movement: Option<Movement>, hash: &mut Hash) {
    let Some(movement) = movement else {
        return hash.word(0);
    };
    hash.words([
        movement.from.map_or(1, |level| level.to_bits().into()),
        movement.level.to_bits().into(),
        movement.pace.steps(),
    ]);
    hash_colour(movement.colour, hash);
}
