//! The one-bit streams of a recipe held at one light, one lane a channel.

use super::WIDTH;
use super::axis::Axis;
use super::frame::{Edges, x_axis};
use super::ink::{BLACK, GREY, Stroke};
use super::labels::shortened;
use super::pen::{CHARACTER, Pen, Side, drawing};
use crate::description::Description;
use crate::run::{HeldChannel, Hold, runs_of_ones};

/// Periods of the busiest channel that a timeline shows.
const PERIODS: u64 = 8;
/// Thinnest bar that stays visible, in pixels.
const HAIRLINE: f64 = 1.25;
/// Top of the first lane.
const TOP: f64 = 10.0;

pub(in crate::report) fn stream(description: &Description, hold: &Hold) -> String {
    let count = hold.channels.len();
    let height = (250.0 / count as f64).clamp(18.0, 40.0);
    let bottom = TOP + height * count as f64;
    let edges = Edges {
        left: 122.0,
        right: WIDTH - 24.0,
        top: TOP,
        bottom,
    };
    let ticks = window_ticks(hold);
    let x = Axis::time(ticks as f64 / f64::from(description.tick_hz));
    drawing(WIDTH, bottom + 52.0, |pen| {
        x_axis(pen, edges, &x);
        for (i, (channel, held)) in description.channels.iter().zip(&hold.channels).enumerate() {
            let base = TOP + height * (i + 1) as f64 - 2.0;
            let lane = Edges {
                top: base - 0.75 * height,
                bottom: base,
                ..edges
            };
            name(pen, lane, &channel.name);
            pulses(pen, lane, held, ticks, Stroke::channel(i, count));
        }
    })
}

fn name(pen: &Pen, lane: Edges, name: &str) {
    let end = lane.left - 8.0;
    let name = shortened(name, (end / CHARACTER) as usize);
    pen.text(&name, (end, middle(lane)), Side::Left, BLACK);
}

fn middle(lane: Edges) -> f64 {
    (lane.top + lane.bottom) / 2.0
}

/// Bars for the runs of ones, or words where there are none.
fn pulses(pen: &Pen, lane: Edges, held: &HeldChannel, ticks: u64, stroke: Stroke) {
    let base = [(lane.left, lane.bottom), (lane.right, lane.bottom)];
    pen.line(&base, Stroke::solid(GREY, 0.5));
    let pixels = (lane.right - lane.left) / ticks as f64;
    let runs = runs(&held.first_words, ticks);
    for (begin, end) in &runs {
        let from = lane.left + *begin as f64 * pixels;
        let to = (lane.left + *end as f64 * pixels)
            .max(from + HAIRLINE)
            .min(lane.right);
        pen.bar((from, lane.top), (to, lane.bottom), stroke.colour);
    }
    if runs.is_empty() {
        pen.text(
            absence(held),
            (lane.left + 8.0, middle(lane)),
            Side::Right,
            GREY,
        );
    }
}

fn absence(held: &HeldChannel) -> &'static str {
    if held.target == 0.0 {
        "dark"
    } else {
        "next pulse lies beyond this window"
    }
}

/// Ticks shown: some pulse periods of the busiest channel, as far as its words go.
pub(in crate::report) fn window_ticks(hold: &Hold) -> u64 {
    let channels = &hold.channels;
    let pulses = channels
        .iter()
        .map(|held| held.pulses)
        .max()
        .unwrap_or(0)
        .max(1);
    let words = channels
        .iter()
        .map(|held| held.first_words.len())
        .min()
        .unwrap_or(0);
    (PERIODS * hold.ticks.div_ceil(pulses))
        .max(32)
        .min(32 * words as u64)
        .max(1)
}

/// Runs of ones in the first `ticks` ticks, as begin and end.
fn runs(words: &[u32], ticks: u64) -> Vec<(u64, u64)> {
    let runs = runs_of_ones(words).into_iter();
    let runs = runs.map(|run| (run.start as u64, (run.end as u64).min(ticks)));
    runs.take_while(|run| run.0 < ticks).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn runs_read_the_most_significant_bit_first_and_cross_words() {
        assert_eq!(runs(&[0xC000_0001, 0x8000_0000], 64), [(0, 2), (31, 33)]);
        assert_eq!(runs(&[0xC000_0001], 1), [(0, 1)]);
    }

    #[test]
    fn the_window_holds_some_periods_of_the_busiest_channel() {
        let mut hold = fixture::checked().observed.holds[4].clone();
        let busiest = hold.channels.iter().map(|held| held.pulses).max().unwrap();
        let shown = window_ticks(&hold) as f64 * busiest as f64 / hold.ticks as f64;
        assert!((7.5..9.0).contains(&shown), "{shown}");
        hold.channels[0].first_words.truncate(3);
        assert_eq!(window_ticks(&hold), 96);
    }
}
