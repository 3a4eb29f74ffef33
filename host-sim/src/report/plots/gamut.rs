//! The gamut of a luminaire on the u', v' diagram, with the recipes that were solved for it.

use plotters::style::RGBColor;

use super::frame::Frame;
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{Pen, Point, Side};
use super::point_names::name_points;
use super::uv_diagram::{outline, planckian_locus, ring, uv_diagram};
use crate::colour::{Xy, planckian};
use crate::report::solved::Recipes;

/// Temperatures in K that are named on it.
const NAMED_K: [(f64, &str); 3] = [
    (2_000.0, "2000 K"),
    (4_000.0, "4000 K"),
    (10_000.0, "10000 K"),
];

/// Where the explanation of the lines begins in u', v', and how far its lines are apart in v'.
const KEY_AT: Point = (0.385, 0.152);
const KEY_STEP: f64 = 0.032;
/// Length of the piece of a line that stands for it, in u'.
const KEY_LENGTH: f64 = 0.04;

/// Gamut, Planckian locus, channels, and what the recipes give: dots, each led to by a ring where another colour was
/// asked for. SVG; `locus` is the spectral locus in u', v', from one end to the other.
#[must_use]
pub fn gamut(recipes: &Recipes, locus: &[(f64, f64)]) -> String {
    let black = Stroke::solid(BLACK, 1.5);
    let planck = Stroke::dashed(GREY, 1.5);
    let drawn = uv_diagram(locus, |frame, pen| {
        let edges = outline(recipes.primaries.gamut());
        frame.line(edges.iter().copied(), black);
        frame.line(planckian_locus(), planck);
        let channels = recipes.primaries.channels().iter();
        let channels: Vec<Named> = channels
            .map(|channel| (&*channel.name, frame.at(place(channel.light)), BLACK))
            .collect();
        let named = NAMED_K.map(|(kelvin, name)| (name, frame.at(place(planckian(kelvin))), GREY));
        channels
            .iter()
            .for_each(|(_, at, _)| pen.dot(*at, 4.0, BLACK));
        named.iter().for_each(|(_, at, _)| pen.dot(*at, 2.5, GREY));
        let found = found(recipes, frame, pen);
        let lines = edges.windows(2).flat_map(|ends| along(ends[0], ends[1]));
        let lines: Vec<Point> = lines
            .chain(planckian_locus())
            .map(|at| frame.at(at))
            .collect();
        name_points(
            pen,
            frame.edges,
            &[found, channels, named.to_vec()].concat(),
            &lines,
        );
        let lines = [
            ("real light", Stroke::solid(GREY, 1.25)),
            ("gamut of the channels", black),
            ("Planckian locus", planck),
        ];
        key(frame, pen, &lines, recipes);
    });
    drawn.replacen('>', &format!(">{HALO}"), 1)
}

/// Text stays legible where a line passes behind it, as on the report's page.
const HALO: &str =
    "<style>text{paint-order:stroke;stroke:#fff;stroke-width:12px;stroke-linejoin:round}</style>";

/// A place with its name.
type Named<'a> = (&'a str, Point, RGBColor);

fn found<'a>(recipes: &'a Recipes, frame: &Frame, pen: &Pen) -> Vec<Named<'a>> {
    let mut named = Vec::new();
    let last = recipes.rows.len().saturating_sub(1);
    for (k, row) in recipes.rows.iter().enumerate() {
        let at = frame.at(place(row.solved.light));
        let asked = frame.at(place(row.solved.asked));
        if !row.solved.in_gamut {
            pen.line(&[asked, at], Stroke::solid(ACCENT, 1.0));
            ring(pen, asked, ACCENT);
        }
        pen.dot(at, 4.5, ACCENT);
        if k == 0 || k == last {
            named.push((&*row.name, at, ACCENT));
        }
    }
    named
}

/// Places on a straight line, close enough together that no name fits between them.
fn along(from: Point, to: Point) -> impl Iterator<Item = Point> {
    let part = |k: u32| f64::from(k) / 64.0;
    (0..=64).map(move |k| {
        let (du, dv) = ((to.0 - from.0) * part(k), (to.1 - from.1) * part(k));
        (from.0 + du, from.1 + dv)
    })
}

/// What lines and marks are, below the purple line, where no light can be.
fn key(frame: &Frame, pen: &Pen, lines: &[(&str, Stroke)], recipes: &Recipes) {
    let place = |k: usize, u: f64| frame.at((KEY_AT.0 + u, KEY_AT.1 - KEY_STEP * k as f64));
    for (k, (_, stroke)) in lines.iter().enumerate() {
        pen.line(&[place(k, 0.0), place(k, KEY_LENGTH)], *stroke);
    }
    let (dot, hollow) = (lines.len(), lines.len() + 1);
    let mut names: Vec<&str> = lines.iter().map(|(name, _)| *name).collect();
    pen.dot(place(dot, KEY_LENGTH / 2.0), 4.5, ACCENT);
    names.push("what the recipe gives");
    if recipes.rows.iter().any(|row| !row.solved.in_gamut) {
        ring(pen, place(hollow, KEY_LENGTH / 2.0), ACCENT);
        names.push("asked for, out of it");
    }
    for (k, name) in names.into_iter().enumerate() {
        pen.text(name, place(k, KEY_LENGTH + 0.01), Side::Right, BLACK);
    }
}

fn place(light: Xy) -> Point {
    let uv = light.to_uv();
    (uv.u, uv.v)
}
