//! Lights at which a timer's error feedback is slowest: a hair from a whole duty the decision that it adds comes once in many
//! periods. Deep down, where it is the largest part of the light, that is the worst light there is.

use milliglow::Level;

use crate::description::{Channel, Description, LevelChoice, Modulation};
use crate::run::{Driven, core_curve, level};

/// Levels tried on each side of a whole duty.
const AWAY: [u16; 5] = [1, 2, 4, 11, 32];

/// Whole duties tried: the lowest ones in use.
const DUTIES: u32 = 2;

/// Levels round the lowest whole duties of each timer that error feedback or dither serves.
pub(super) fn near_duties(description: &Description, recipe: usize) -> Vec<Level> {
    let lowest = description.requirements.lowest_light;
    let channels = description.channels.iter();
    let lit = channels.zip(&description.recipes[recipe].shares);
    let lights = lit
        .filter(|(_, share)| **share > 0.0)
        .flat_map(|(channel, &share)| whole_duties(description, channel, lowest * share, share));
    lights
        .filter(|light| (lowest..1.0).contains(light))
        .flat_map(|light| round(level(description, LevelChoice::Light(light))))
        .filter(|&level| core_curve(description.curve).light(level).as_f64() >= lowest)
        .collect()
}

/// The lights of the luminaire at which a channel's duty is whole, from its lowest on.
fn whole_duties(description: &Description, channel: &Channel, lowest: f64, share: f64) -> Vec<f64> {
    let Modulation::Timer { bits, order, .. } = channel.modulation else {
        return Vec::new();
    };
    if order == 0 {
        return Vec::new();
    }
    let driven = Driven::new(description, channel);
    let row = driven.rows[0];
    let booked = match description.operating.edge_correction {
        true => row.edge_loss / f64::from(driven.stretches[0]),
        false => 0.0,
    };
    let period = f64::from(1u32 << bits) / row.full;
    let first = (lowest * period + booked).ceil().max(1.0);
    let duties = (0..DUTIES).map(|more| first + f64::from(more));
    duties
        .map(|duty| (duty - booked) / period / share)
        .collect()
}

fn round(level: Level) -> impl Iterator<Item = Level> {
    let bits = level.to_bits();
    let away = AWAY.into_iter();
    let below = away.clone().map(move |away| bits.saturating_sub(away));
    let above = away.map(move |away| bits.saturating_add(away));
    below.chain([bits]).chain(above).map(Level::from_bits)
}
