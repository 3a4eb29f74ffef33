//! Draws lines, marks and text at pixel positions into SVG text.

use plotters::coord::Shift;
use plotters::element::{DashedPathElement, Drawable, PointCollection};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::ink::Stroke;

/// plotters places on whole units; four of them a pixel keep slopes smooth.
const UNITS: f64 = 4.0;
/// plotters divides a text's size by this before it writes it.
const FONT_RATIO: f64 = 1.24;
const TEXT: f64 = 16.0;
/// Width to allow for a character of [`TEXT`] size.
pub(super) const CHARACTER: f64 = 9.2;

/// Where a text stands from its position.
#[derive(Clone, Copy)]
pub(super) enum Side {
    Left,
    Right,
    Above,
    Below,
}

pub(super) type Point = (f64, f64);

pub(super) struct Pen<'a> {
    area: DrawingArea<SVGBackend<'a>, Shift>,
}

/// A drawing of this size, as SVG text.
pub(super) fn drawing(width: f64, height: f64, draw: impl FnOnce(&Pen)) -> String {
    let mut svg = String::new();
    let size = ((width * UNITS) as u32, (height * UNITS) as u32);
    draw(&Pen {
        area: SVGBackend::with_string(&mut svg, size).into_drawing_area(),
    });
    in_pixels(&svg, size, (width, height))
}

/// Opened by itself a drawing is as large as its pixels, not as its units.
fn in_pixels(svg: &str, units: (u32, u32), pixels: (f64, f64)) -> String {
    let drawn = format!("width=\"{}\" height=\"{}\"", units.0, units.1);
    let shown = format!("width=\"{}\" height=\"{}\"", pixels.0, pixels.1);
    svg.replacen(&drawn, &shown, 1)
}

impl Pen<'_> {
    pub(super) fn line(&self, points: &[Point], stroke: Stroke) {
        let units = straightened(points.iter().copied().map(unit));
        let style = stroke.colour.stroke_width(length(stroke.width));
        match stroke.dash {
            None => self.put(PathElement::new(units, style)),
            Some((dash, gap)) => {
                self.put(DashedPathElement::new(
                    units,
                    length(dash),
                    length(gap),
                    style,
                ));
            }
        }
    }

    pub(super) fn dot(&self, at: Point, radius: f64, colour: RGBColor) {
        self.put(Circle::new(unit(at), length(radius), colour.filled()));
    }

    pub(super) fn bar(&self, from: Point, to: Point, colour: RGBColor) {
        self.put(Rectangle::new([unit(from), unit(to)], colour.filled()));
    }

    /// Text that stands to this side of a position.
    pub(super) fn text(&self, text: &str, at: Point, side: Side, colour: RGBColor) {
        let pos = match side {
            Side::Left => Pos::new(HPos::Right, VPos::Center),
            Side::Right => Pos::new(HPos::Left, VPos::Center),
            Side::Above => Pos::new(HPos::Center, VPos::Bottom),
            Side::Below => Pos::new(HPos::Center, VPos::Top),
        };
        let style = ("sans-serif", TEXT * UNITS * FONT_RATIO)
            .into_font()
            .color(&colour)
            .pos(pos);
        self.put(Text::new(text.to_owned(), unit(at), style));
    }

    fn put<E>(&self, element: E)
    where
        for<'b> &'b E: PointCollection<'b, (i32, i32)>,
        for<'b> E: Drawable<SVGBackend<'b>>,
    {
        self.area
            .draw(&element)
            .expect("a string takes every drawing");
    }
}

/// Leaves out each point that lies between its neighbours on a level or plumb line: long flat traces stay short.
fn straightened(points: impl Iterator<Item = (i32, i32)>) -> Vec<(i32, i32)> {
    let mut kept: Vec<(i32, i32)> = Vec::new();
    for point in points {
        if kept.last() == Some(&point) {
            continue;
        }
        if let [.., before, last] = kept[..]
            && is_between(before, last, point)
        {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

fn is_between(from: (i32, i32), middle: (i32, i32), to: (i32, i32)) -> bool {
    let inside = |a: i32, b: i32, c: i32| (a.min(c)..=a.max(c)).contains(&b);
    let level = from.1 == middle.1 && middle.1 == to.1 && inside(from.0, middle.0, to.0);
    let plumb = from.0 == middle.0 && middle.0 == to.0 && inside(from.1, middle.1, to.1);
    level || plumb
}

fn unit(point: Point) -> (i32, i32) {
    (
        (point.0 * UNITS).round() as i32,
        (point.1 * UNITS).round() as i32,
    )
}

fn length(pixels: f64) -> u32 {
    (pixels * UNITS).round() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_points_that_change_nothing_are_left_out() {
        let flat = [
            (0, 5),
            (1, 5),
            (1, 5),
            (2, 5),
            (9, 5),
            (9, 0),
            (9, 7),
            (12, 7),
            (10, 7),
        ];
        let kept = straightened(flat.into_iter());
        assert_eq!(kept, [(0, 5), (9, 5), (9, 0), (9, 7), (12, 7), (10, 7)]);
    }

    #[test]
    fn a_drawing_is_as_large_as_its_pixels() {
        let svg = drawing(560.0, 360.0, |_| ());
        let size = "<svg width=\"560\" height=\"360\" viewBox=\"0 0 2240 1440\"";
        assert!(svg.starts_with(size), "{svg}");
    }
}
