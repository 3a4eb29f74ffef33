//! The lowest tick rate at which a light's flicker would keep a limit, all else being as it is.

use milliglow::Level;

use super::light::{Light, at_clock};
use super::map::row;
use crate::description::{Description, LevelChoice};
use crate::numbers::grouped;
use crate::run::{MetricRow, level};

/// Highest tick rate that a description may have.
const HIGHEST_HZ: f64 = 100e6;
/// Each try runs this much faster than the one before.
const STEP: f64 = 1.02;

/// What would mend a figure of a recipe at a light: amplitudes stay, frequencies rise with the tick rate.
pub(super) fn tick_rate_remedy(
    description: &Description,
    recipe: usize,
    light: f64,
    figure: impl Fn(&MetricRow) -> f64,
    limit: f64,
) -> String {
    let level = level(description, LevelChoice::Light(light)).max(Level::from_bits(1));
    let lines = Light::new(description, recipe, level).lines();
    let tick_hz = f64::from(description.tick_hz);
    let factors = std::iter::successors(Some(STEP), |factor| Some(factor * STEP));
    let mut allowed = factors.take_while(|factor| factor * tick_hz <= HIGHEST_HZ);
    match allowed.find(|&factor| figure(&row(description, light, &at_clock(&lines, factor))) <= limit) {
        Some(factor) => {
            let unit = 10f64.powf((factor * tick_hz).log10().floor() - 1.0);
            let rate = (factor * tick_hz / unit).ceil() * unit;
            format!("raise tick_hz to {} or more; or raise lowest_light_percent", grouped(rate))
        }
        None => "no tick rate that a description may have would do: raise lowest_light_percent or the shares".to_owned(),
    }
}
