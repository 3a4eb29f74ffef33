//! How far fades between whites are from the Planckian locus on their way.

use super::axis::Axis;
use super::frame::{Edges, Frame};
use super::ink::{GREY, Stroke};
use super::pen::drawing;
use super::{HEIGHT, LONG_NAMES, WIDTH};
use crate::colour::White;
use crate::numbers::significant;
use crate::report::Checked;
use crate::run::WhiteFade;

/// Room beyond the farthest white.
const BEYOND: f64 = 0.0005;

/// Duv over the part of the fade: a line a fade as it goes, and dashed the straight one where that is another.
pub(in crate::report) fn white_fades(checked: &Checked) -> String {
    let fades = &checked.observed.white_fades;
    let all = || {
        fades
            .iter()
            .flat_map(|fade| fade.along.iter().chain(&fade.straight))
    };
    let duvs = || all().map(|white| white.duv);
    let (low, high) = (duvs().fold(0.0, f64::min), duvs().fold(0.0, f64::max));
    let y = Axis::linear("Duv", low - BEYOND, high + BEYOND, |duv| {
        format!("{duv:+.3}")
    });
    let x = Axis::linear("part of the fade in %", 0.0, 100.0, |part| {
        format!("{part:.0}")
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, LONG_NAMES), &x, &y);
        frame.level(0.0, Stroke::solid(GREY, 1.0));
        let mut keys = Vec::new();
        for (i, fade) in fades.iter().enumerate() {
            let colour = Stroke::channel(i, fades.len()).colour;
            let (solid, dashed) = (Stroke::solid(colour, 2.2), Stroke::dashed(colour, 1.5));
            frame.line(line(&fade.along), solid);
            keys.push((name(checked, fade), solid));
            if fade.straight != fade.along {
                frame.line(line(&fade.straight), dashed);
                keys.push((format!("{}, straight", which(checked, fade)), dashed));
            }
        }
        let keys: Vec<_> = keys
            .iter()
            .map(|(name, stroke)| (&**name, *stroke))
            .collect();
        frame.keys(&keys);
    })
}

fn line(way: &[White]) -> impl Iterator<Item = (f64, f64)> {
    let steps = way.len().saturating_sub(1).max(1) as f64;
    let whites = way.iter().enumerate();
    whites.map(move |(k, white)| (100.0 * k as f64 / steps, white.duv))
}

/// Which fade it is, and the recipe that it goes to.
pub(in crate::report) fn name(checked: &Checked, fade: &WhiteFade) -> String {
    format!("{}: {}", which(checked, fade), fade.recipe)
}

/// Its number in the script, or when it began on a bus.
pub(in crate::report) fn which(checked: &Checked, fade: &WhiteFade) -> String {
    match checked.description.bus {
        Some(_) => format!("at {} s", significant(fade.begin_s, 5)),
        None => (fade.fade + 1).to_string(),
    }
}

#[cfg(test)]
mod tests {
    use crate::report::fixture;

    #[test]
    fn a_fade_that_does_not_go_straight_has_two_lines() {
        let mut checked = fixture::checked();
        assert!(super::white_fades(&checked).contains("2, straight"));
        let fade = &mut checked.observed.white_fades[0];
        fade.straight = fade.along.clone();
        let svg = super::white_fades(&checked);
        assert!(svg.contains("2: stars") && !svg.contains("straight"));
    }
}
