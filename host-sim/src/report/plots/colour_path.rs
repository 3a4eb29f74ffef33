//! Colour through the script on the CIE 1976 u', v' diagram.

use super::frame::Frame;
use super::ink::{ACCENT, BLACK, Stroke};
use super::pen::{Pen, Point};
use super::point_names::name_points;
use super::uv_diagram::{ring, uv_diagram};
use crate::report::Checked;

pub(in crate::report) fn colour_path(checked: &Checked, locus: &[(f64, f64)]) -> String {
    uv_diagram(locus, |frame, pen| {
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
        .map(|channel| (&*channel.name, frame.at(uv(channel.x, channel.y)), BLACK))
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

/// Chromaticity of each recipe, mixed from the channels.
fn recipe_places(checked: &Checked) -> Vec<(&str, Point)> {
    let channels = &checked.description.channels;
    let mixed = |shares: &[f64]| {
        let mut sum = (0.0, 0.0, 0.0);
        for (share, channel) in shares.iter().zip(channels) {
            let luminance_over_y = share * channel.flux_lm / channel.y;
            sum.0 += luminance_over_y * channel.x;
            sum.1 += luminance_over_y * channel.y;
            sum.2 += luminance_over_y;
        }
        uv(sum.0 / sum.2, sum.1 / sum.2)
    };
    let recipes = checked.description.recipes.iter();
    recipes
        .map(|recipe| (&*recipe.name, mixed(&recipe.shares)))
        .collect()
}

/// CIE 15, uniform chromaticity scale diagram of 1976: u', v' from x, y.
fn uv(x: f64, y: f64) -> Point {
    let sum = -2.0 * x + 12.0 * y + 3.0;
    (4.0 * x / sum, 9.0 * y / sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn white_point_e_is_where_cie_puts_it() {
        let (u, v) = uv(1.0 / 3.0, 1.0 / 3.0);
        assert!((u - 4.0 / 19.0).abs() < 1e-12 && (v - 9.0 / 19.0).abs() < 1e-12);
    }

    #[test]
    fn a_recipe_of_one_channel_has_its_chromaticity() {
        let mut checked = fixture::checked();
        checked.description.recipes[0].shares = vec![0.0, 0.3, 0.0, 0.0, 0.0];
        let channel = &checked.description.channels[1];
        let (place, wanted) = (recipe_places(&checked)[0].1, uv(channel.x, channel.y));
        assert!((place.0 - wanted.0).abs() < 1e-12 && (place.1 - wanted.1).abs() < 1e-12);
    }
}
