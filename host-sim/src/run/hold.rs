//! Holds a recipe at a light and counts its streams.

use milliglow::Level;
use milliglow::fade::Pace;
use rayon::prelude::*;

use super::asked::{core_shares, ideal_light, level};
use super::driven::Driven;
use super::pulse_count::PulseCount;
use super::stepped::{Stepped, luminaire};
use super::streams::stream;
use super::{HeldChannel, Hold};
use crate::description::{Description, LevelChoice, core_curve};

/// The five test lights, as fractions of full.
pub const TEST_LIGHTS: [f64; 5] = [1.0, 0.5, 0.1, 0.01, 0.001];

/// A hold lasts until its rarest channel has given this many pulses, so that one pulse more or less is a quarter of the
/// default limit of the average error; but at least a second and at most a minute.
const PULSES: f64 = 4_000.0;

/// Words of a stream that are kept for the picture.
const FIRST_WORDS: usize = 4_096;

/// The test lights from the lowest light asked for on, and that, highest first.
#[must_use]
pub fn test_lights(description: &Description) -> Vec<f64> {
    let lowest = description.requirements.lowest_light;
    let lights = TEST_LIGHTS.into_iter().filter(|&light| light > lowest);
    lights.chain([lowest]).collect()
}

/// Every recipe at every test light from the lowest light asked for on, and at that.
pub fn hold_all(description: &Description) -> Vec<Hold> {
    let lights = test_lights(description);
    let pairs: Vec<_> = (0..description.recipes.len())
        .flat_map(|recipe| lights.iter().map(move |&light| (recipe, light)))
        .collect();
    pairs
        .into_par_iter()
        .map(|(recipe, light)| hold(description, recipe, light))
        .collect()
}

fn hold(description: &Description, recipe: usize, light: f64) -> Hold {
    let level = level(description, LevelChoice::Light(light));
    let targets = targets(description, recipe, level);
    let words = words_to_hold(description, &targets);
    let channels = draw(description, recipe, level, words)
        .into_iter()
        .zip(targets)
        .map(|(drawn, target)| HeldChannel {
            target,
            light: drawn.light,
            ones: drawn.count.ones,
            stretch: drawn.stretch,
            pulses: drawn.count.pulses,
            longest_dark_ticks: drawn.count.longest_dark_ticks,
            first_words: drawn.first_words,
        })
        .collect();
    Hold {
        recipe,
        light,
        level: level.to_bits(),
        ticks: words as u64 * 32,
        channels,
    }
}

fn targets(description: &Description, recipe: usize, level: Level) -> Vec<f64> {
    let position = f64::from(level.to_bits());
    let light = ideal_light(description.curve, position);
    description.recipes[recipe]
        .shares_at(position)
        .iter()
        .map(|share| share * light)
        .collect()
}

fn words_to_hold(description: &Description, targets: &[f64]) -> usize {
    let tick_hz = f64::from(description.tick_hz);
    let rarest = targets
        .iter()
        .copied()
        .filter(|&target| target > 0.0)
        .fold(1.0, f64::min);
    let ticks = (PULSES / rarest).clamp(tick_hz, 60.0 * tick_hz);
    (ticks / 32.0).ceil() as usize
}

/// What a channel gave while its luminaire stood still.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What its stream held.
    pub count: PulseCount,
    /// Mean light over the channel's full, as its driver gave it.
    pub light: f64,
    /// Ticks of a decision.
    pub stretch: u8,
    /// The first words of the stream.
    pub first_words: Vec<u32>,
}

/// Draws `words` words of every channel.
pub fn draw(description: &Description, recipe: usize, level: Level, words: usize) -> Vec<Drawn> {
    let mut luminaire = steady(description, recipe, level);
    let driven = Driven::all(description);
    let stands = luminaire.stands();
    let light = core_curve(description.curve).light(level).as_f64();
    let mut gated: Vec<_> = driven.iter().map(|driven| driven.supplied(light)).collect();
    let mut drawn: Vec<_> = driven
        .iter()
        .zip(&stands)
        .map(|(driven, stand)| Drawn {
            count: PulseCount::default(),
            light: 0.0,
            stretch: driven.stretches[stand.row],
            first_words: Vec::new(),
        })
        .collect();
    stream(&mut luminaire, drawn.len(), words, |slices| {
        for ((drawn, gated), slice) in drawn.iter_mut().zip(&mut gated).zip(slices) {
            slice.iter().for_each(|&word| drawn.count.see(word));
            drawn.light += gated.words(slice);
            let missing = FIRST_WORDS
                .saturating_sub(drawn.first_words.len())
                .min(slice.len());
            drawn.first_words.extend_from_slice(&slice[..missing]);
        }
    });
    for ((drawn, driven), stand) in drawn.iter_mut().zip(&driven).zip(stands) {
        drawn.light *= driven.rows[stand.row].full / (32 * words) as f64;
    }
    drawn
}

/// A luminaire that has just woken to a steady Level of a recipe.
pub fn steady(description: &Description, recipe: usize, level: Level) -> Box<dyn Stepped> {
    let mut luminaire = luminaire(description);
    luminaire.fade_to_recipe(level, recipe, Pace::AT_ONCE);
    luminaire.control_step();
    luminaire
}

/// The same for shares, one a channel.
pub fn steady_shares(description: &Description, shares: &[f64], level: Level) -> Box<dyn Stepped> {
    let mut luminaire = luminaire(description);
    luminaire.fade_to(level, &core_shares(shares), Pace::AT_ONCE);
    luminaire.control_step();
    luminaire
}
