//! What moving things and moving eyes would make of the light: pictures for people, no verdict.

use super::light::Light;
use crate::description::{Description, LevelChoice};
use crate::pictures::{Lit, Picture, swept_point, waved_rod};
use crate::run::{Sight, level};

/// Longer than any of the pictures looks.
const SECONDS: f64 = 1.0;

/// The first recipe at full and at the lowest light.
pub(in crate::check) fn sights(description: &Description) -> Vec<Sight> {
    let lights = [1.0, description.requirements.lowest_light];
    lights
        .into_iter()
        .flat_map(|light| at(description, light))
        .collect()
}

fn at(description: &Description, light: f64) -> Vec<Sight> {
    let level = level(description, LevelChoice::Light(light));
    if level.to_bits() == 0 {
        return Vec::new();
    }
    let summed = Light::new(description, 0, level).summed(SECONDS);
    let lit: Vec<_> = summed
        .iter()
        .map(|(colour, until)| Lit {
            colour: *colour,
            until_s: until,
        })
        .collect();
    let sight = |picture: Picture| Sight {
        recipe: 0,
        light,
        picture: picture.png(),
        caption: picture.caption,
    };
    vec![sight(waved_rod(&lit, 0.0)), sight(swept_point(&lit, 0.0))]
}
