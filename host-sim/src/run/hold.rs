//! Holds a recipe at a light and counts its streams.

use milliglow::Level;
use milliglow::fade::Pace;
use rayon::prelude::*;

use super::asked::{core_shares, ideal_light, level};
use super::pulse_count::PulseCount;
use super::stepped::{Stepped, luminaire};
use super::{HeldChannel, Hold};
use crate::description::{Description, LevelChoice};

/// The five test lights, as fractions of full.
pub const TEST_LIGHTS: [f64; 5] = [1.0, 0.5, 0.1, 0.01, 0.001];

/// A hold lasts until its rarest channel has given this many pulses, so that one pulse more or less is a quarter of the
/// default limit of the average error; but at least a second and at most a minute.
const PULSES: f64 = 4_000.0;

/// Words drawn at a time.
const BUFFER: usize = 1_024;

/// Words of a stream that are kept for the picture.
const FIRST_WORDS: usize = 4_096;

/// Every recipe at every test light from the lowest light asked for on, and at that.
pub fn hold_all(description: &Description) -> Vec<Hold> {
    let lowest = description.requirements.lowest_light;
    let mut lights: Vec<_> = TEST_LIGHTS
        .into_iter()
        .filter(|&light| light > lowest)
        .collect();
    lights.push(lowest);
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
        .map(|((count, first_words), target)| HeldChannel {
            target,
            ones: count.ones,
            pulses: count.pulses,
            longest_dark_ticks: count.longest_dark_ticks,
            first_words,
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
    let light = ideal_light(description.curve, f64::from(level.to_bits()));
    description.recipes[recipe]
        .shares
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

/// Counts `words` words of every channel, and keeps the first ones.
pub fn draw(
    description: &Description,
    recipe: usize,
    level: Level,
    words: usize,
) -> Vec<(PulseCount, Vec<u32>)> {
    let mut seen = vec![(PulseCount::default(), Vec::new()); description.channels.len()];
    stream(
        &mut *steady(description, recipe, level),
        seen.len(),
        words,
        |slices| {
            for ((count, first), slice) in seen.iter_mut().zip(slices) {
                slice.iter().for_each(|&word| count.see(word));
                let missing = FIRST_WORDS.saturating_sub(first.len()).min(slice.len());
                first.extend_from_slice(&slice[..missing]);
            }
        },
    );
    seen
}

/// A luminaire that has just woken to a steady Level of a recipe.
pub fn steady(description: &Description, recipe: usize, level: Level) -> Box<dyn Stepped> {
    steady_shares(description, &description.recipes[recipe].shares, level)
}

/// The same for shares, one a channel.
pub fn steady_shares(description: &Description, shares: &[f64], level: Level) -> Box<dyn Stepped> {
    let mut luminaire = luminaire(description);
    luminaire.fade_to(level, &core_shares(shares), Pace::AT_ONCE);
    luminaire.control_step();
    luminaire
}

/// Draws `words` words of every channel, in pieces, at the densities of the moment.
pub fn stream(
    luminaire: &mut dyn Stepped,
    channels: usize,
    words: usize,
    mut see: impl FnMut(&[&[u32]]),
) {
    let mut buffers = vec![vec![0; BUFFER]; channels];
    let mut left = words;
    while left > 0 {
        let now = left.min(BUFFER);
        let mut slices: Vec<_> = buffers
            .iter_mut()
            .map(|buffer| &mut buffer[..now])
            .collect();
        luminaire.fill(&mut slices);
        see(&slices.iter().map(|slice| &**slice).collect::<Vec<_>>());
        left -= now;
    }
}
