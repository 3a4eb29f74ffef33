//! Designs of a search: edges a second against the worst figure over its limit, the front numbered where there is room.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, GREY, Stroke};
use super::pen::{Point, Side, drawing};
use super::point_names::number_points;
use super::{HEIGHT, WIDTH};
use crate::numbers::{quantity, significant};

/// Points are edges a second and figure over limit; what lies beyond ten times the limit stands there.
pub(in crate::report) fn front(candidates: &[Point], front: &[Point]) -> String {
    let shown = |point: &Point| (point.0, point.1.min(MOST));
    let all = || candidates.iter().chain(front).map(shown);
    let x = Axis::over(
        Scale::Log,
        "edges a second",
        all().map(|point| point.0),
        |rate| quantity(rate, "Hz"),
    );
    let y = Axis::over(
        Scale::Log,
        "worst figure over its limit",
        all().map(|point| point.1).chain([1.0]),
        |over| significant(over, 4),
    );
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, RIGHT), &x, &y);
        frame.level(1.0, Stroke::dashed(ACCENT, 1.5));
        let limit = (frame.edges.right - 4.0, frame.at((0.0, 1.0)).1 - 11.0);
        pen.text("limit", limit, Side::Left, ACCENT);
        let dots: Vec<_> = candidates
            .iter()
            .map(|point| frame.at(shown(point)))
            .collect();
        dots.iter().for_each(|at| pen.dot(*at, 1.5, GREY));
        let numbers: Vec<String> = (1..=front.len()).map(|number| number.to_string()).collect();
        let places = front.iter().map(|point| frame.at(shown(point)));
        let named: Vec<_> = numbers
            .iter()
            .zip(places)
            .map(|(name, at)| (&**name, at, ACCENT))
            .collect();
        named
            .iter()
            .for_each(|(_, at, _)| pen.dot(*at, 3.5, ACCENT));
        let limit = steps(frame.edges.left, frame.edges.right).map(|x| (x, limit.1 + 11.0));
        let dots: Vec<_> = dots.into_iter().chain(limit).collect();
        number_points(pen, frame.edges, &named, &dots);
    })
}

/// Places on a line that numbers keep off, so near to each other that none fits between.
fn steps(from: f64, to: f64) -> impl Iterator<Item = f64> {
    std::iter::successors(Some(from), |x| Some(x + 4.0)).take_while(move |x| *x < to)
}

const MOST: f64 = 10.0;
/// Room for half of the last mark of the rates.
const RIGHT: f64 = 44.0;

#[cfg(test)]
mod tests {
    use super::front;

    #[test]
    fn the_front_is_numbered_and_the_limit_drawn() {
        let svg = front(
            &[(1e6, 0.4), (2e6, f64::INFINITY), (0.0, 3.0)],
            &[(1e6, 0.4), (5e5, 0.9)],
        );
        for text in ["edges a second", "limit", "\n1\n", "\n2\n"] {
            assert!(svg.contains(text), "{text}: {svg}");
        }
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}
