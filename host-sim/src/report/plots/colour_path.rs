//! Colour through the script on the CIE 1976 u', v' diagram.

use super::frame::Frame;
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{Pen, Point};
use super::point_names::name_points;
use super::uv_diagram::{outline, planckian_locus, ring, uv_diagram};
use crate::colour::{Gamut, Xy, mix};
use crate::description::Channel;
use crate::report::Checked;

pub(in crate::report) fn colour_path(checked: &Checked, locus: &[(f64, f64)]) -> String {
    uv_diagram(locus, |frame, pen| {
        let gamut = Gamut::of(lights(checked).map(Xy::to_uv));
        frame.line(outline(&gamut), Stroke::solid(BLACK, 1.0));
        frame.line(planckian_locus(), Stroke::dashed(GREY, 1.5));
        for recipe in &checked.description.recipes {
            let knots = recipe.knots.iter();
            let along = knots.filter_map(|knot| mixed(checked, &knot.shares));
            frame.line(along, Stroke::solid(GREY, 5.0));
        }
        let path = checked
            .observed
            .script
            .iter()
            .filter_map(|moment| moment.uv);
        frame.line(path, Stroke::solid(ACCENT, 2.2));
        places(frame, pen, checked);
    })
}

/// Channels as dots, recipes at full light as rings, each with its name.
fn places(frame: &Frame, pen: &Pen, checked: &Checked) {
    let channels = checked.description.channels.iter();
    let channels: Vec<_> = channels
        .zip(lights(checked))
        .map(|(channel, light)| (&*channel.name, frame.at(point(light)), BLACK))
        .collect();
    let recipes: Vec<_> = recipe_places(checked)
        .into_iter()
        .map(|(name, place)| (name, frame.at(place), ACCENT))
        .collect();
    for (_, at, colour) in &channels {
        pen.dot(*at, 4.0, *colour);
    }
    for (_, at, colour) in &recipes {
        ring(pen, *at, *colour);
    }
    name_points(pen, frame.edges, &[channels, recipes].concat(), &[]);
}

/// Chromaticity of each recipe at full light, mixed from the channels.
fn recipe_places(checked: &Checked) -> Vec<(&str, Point)> {
    let recipes = checked.description.recipes.iter();
    let places = recipes.map(|recipe| Some((&*recipe.name, mixed(checked, &recipe.shares)?)));
    places.flatten().collect()
}

/// None in the dark.
fn mixed(checked: &Checked, shares: &[f64]) -> Option<Point> {
    let channels = lights(checked).zip(&checked.description.channels);
    let lights = channels.zip(shares);
    mix(lights.map(|((light, channel), share)| (light, share * channel.flux_lm))).map(point)
}

fn lights(checked: &Checked) -> impl Iterator<Item = Xy> {
    let channels = checked.description.channels.iter();
    channels.map(|&Channel { x, y, .. }| Xy { x, y })
}

fn point(light: Xy) -> Point {
    let uv = light.to_uv();
    (uv.u, uv.v)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn a_recipe_of_one_channel_has_its_chromaticity() {
        let mut checked = fixture::checked();
        checked.description.recipes[0].shares = vec![0.0, 0.3, 0.0, 0.0, 0.0];
        let channel = &checked.description.channels[1];
        let light = Xy {
            x: channel.x,
            y: channel.y,
        };
        let (place, wanted) = (recipe_places(&checked)[0].1, point(light));
        assert!((place.0 - wanted.0).abs() < 1e-12 && (place.1 - wanted.1).abs() < 1e-12);
    }
}
