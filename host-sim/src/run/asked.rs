//! What a description asks for: the ideal curve in floats, and the core's configuration for it.

use milliglow::{Level, Share};

use crate::description::{CurveChoice, Description, LevelChoice, level_of, light};

/// The light that the ideal curve gives a position of 0 to 65 535, whole or between two Levels, as a fraction of full:
/// independent of the core's arithmetic.
pub fn ideal_light(choice: CurveChoice, position: f64) -> f64 {
    match choice {
        CurveChoice::Exponential { depth, tail_levels } => {
            exponential(f64::from(depth), f64::from(tail_levels.max(1)), position)
        }
        CurveChoice::Lightness => lightness(100.0 * position / 65_535.0),
        CurveChoice::Linear => position / 65_535.0,
    }
}

fn exponential(depth: f64, join: f64, position: f64) -> f64 {
    let span = 65_535.0 - join;
    if position >= join {
        return depth.powf((position - 65_535.0) / span);
    }
    let (way, slope) = (position / join, depth.ln() * join / span);
    (way * way + (2.0 - slope) * (way - way * way)) / depth
}

/// CIE 15, section 8.2.1: L* to Y / Yn.
fn lightness(l: f64) -> f64 {
    if l > 8.0 {
        ((l + 16.0) / 116.0).powi(3)
    } else {
        l * (3.0f64 / 29.0).powi(3)
    }
}

/// A recipe's shares for the core.
pub fn core_shares(shares: &[f64]) -> Vec<Share> {
    shares
        .iter()
        .map(|&share| Share::from_bits(light(share).to_bits()))
        .collect()
}

/// The Level of a choice.
pub fn level(description: &Description, choice: LevelChoice) -> Level {
    level_of(description.curve, choice)
}

/// The Levels of steady light that a description answers for: from the depth asked for up to full.
pub fn steady_levels(description: &Description) -> impl Iterator<Item = Level> + Clone + use<> {
    let lowest = level(
        description,
        LevelChoice::Light(description.requirements.lowest_light),
    );
    (lowest.to_bits().max(1)..=u16::MAX).map(Level::from_bits)
}
