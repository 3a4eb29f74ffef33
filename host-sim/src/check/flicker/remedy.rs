//! What would mend a light's flicker: pulses that come faster, all else being as it is.

use milliglow::Level;

use super::super::hardware::{factors, faster_pulses};
use super::light::{Light, at_clock};
use super::map::row;
use crate::description::{Description, LevelChoice};
use crate::run::{MetricRow, level};

/// What would mend a figure of a recipe at a light: amplitudes stay, frequencies rise with the pulse rate.
pub(super) fn pulse_remedy(
    description: &Description,
    recipe: usize,
    light: f64,
    figure: impl Fn(&MetricRow) -> f64,
    limit: f64,
) -> String {
    let level = level(description, LevelChoice::Light(light)).max(Level::from_bits(1));
    let lines = Light::new(description, recipe, level).lines();
    let keeps =
        |factor: &f64| figure(&row(description, light, &at_clock(&lines, *factor))) <= limit;
    let faster = factors()
        .find(keeps)
        .map(|factor| faster_pulses(description, factor) + "; or ");
    faster.unwrap_or_default() + "raise lowest_light_percent"
}
