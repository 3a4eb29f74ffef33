//! The one-bit streams of a recipe held at one light, one lane a channel.

use super::WIDTH;
use super::axis::Axis;
use super::frame::{Edges, x_axis};
use super::ink::{BLACK, GREY, Stroke};
use super::labels::shortened;
use super::pen::{CHARACTER, Pen, Side, drawing};
use crate::description::Description;
use crate::run::{HeldChannel, Hold};

/// Periods of the busiest channel that a timeline shows.
const PERIODS: u64 = 8;
/// Thinnest bar that stays visible, in pixels.
const HAIRLINE: f64 = 1.25;

pub(in crate::report) fn stream(description: &Description, hold: &Hold) -> String {
    let count = hold.channels.len();
    let lane = (250.0 / count as f64).clamp(18.0, 40.0);
    let top = 10.0;
    let bottom = top + lane * count as f64;
    let edges = Edges {
        left: 122.0,
        right: WIDTH - 24.0,
        top,
        bottom,
    };
    let ticks = window_ticks(hold);
    let x = Axis::time(ticks as f64 / f64::from(description.tick_hz));
    drawing(WIDTH, bottom + 52.0, |pen| {
        x_axis(pen, edges, &x);
        for (i, (channel, held)) in description.channels.iter().zip(&hold.channels).enumerate() {
            let base = top + lane * (i + 1) as f64 - 2.0;
            pen.line(
                &[(edges.left, base), (edges.right, base)],
                Stroke::solid(GREY, 0.5),
            );
            let middle = base - lane * 0.4;
            let name = shortened(&channel.name, ((edges.left - 8.0) / CHARACTER) as usize);
            pen.text(&name, (edges.left - 8.0, middle), Side::Left, BLACK);
            let runs = runs(&held.first_words, ticks);
            if runs.is_empty() {
                pen.text(absence(held), (edges.left + 8.0, middle), Side::Right, GREY);
            }
            bars(
                pen,
                &runs,
                ticks,
                (edges, base, lane * 0.75),
                Stroke::channel(i, count),
            );
        }
    })
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
    let pulses = hold
        .channels
        .iter()
        .map(|held| held.pulses)
        .max()
        .unwrap_or(0)
        .max(1);
    let words = hold
        .channels
        .iter()
        .map(|held| held.first_words.len())
        .min()
        .unwrap_or(0);
    (PERIODS * hold.ticks.div_ceil(pulses))
        .max(32)
        .min(32 * words as u64)
        .max(1)
}

fn bars(pen: &Pen, runs: &[(u64, u64)], ticks: u64, lane: (Edges, f64, f64), stroke: Stroke) {
    let (edges, base, height) = lane;
    let pixels = (edges.right - edges.left) / ticks as f64;
    for (begin, end) in runs {
        let from = edges.left + *begin as f64 * pixels;
        let to = (edges.left + *end as f64 * pixels)
            .max(from + HAIRLINE)
            .min(edges.right);
        pen.bar((from, base - height), (to, base), stroke.colour);
    }
}

/// Runs of ones in the first `ticks` ticks, as begin and end.
fn runs(words: &[u32], ticks: u64) -> Vec<(u64, u64)> {
    let one = |tick: u64| words[(tick / 32) as usize] >> (31 - tick % 32) & 1 == 1;
    let mut runs: Vec<(u64, u64)> = Vec::new();
    for tick in (0..ticks.min(32 * words.len() as u64)).filter(|tick| one(*tick)) {
        match runs.last_mut() {
            Some(last) if last.1 == tick => last.1 += 1,
            _ => runs.push((tick, tick + 1)),
        }
    }
    runs
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
