//! What a receiver makes of a console's creeping fade and of its jump.

use super::axis::Axis;
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::{Pen, drawing};
use super::{HEIGHT, LONG_NAMES, WIDTH};
use crate::numbers::significant;
use crate::run::{LineState, Smoothed, fade_place};

/// Room at the right of the jump, which needs no keys.
const MARGIN: f64 = 24.0;
/// What is shown of the fade, in s.
const FADE: [f64; 2] = [-0.2, 2.4];
/// What is shown of the jump, in ms.
const JUMP: [f64; 2] = [-20.0, 120.0];

/// The fade with the keys of both, then the jump.
pub(in crate::report) fn smoothing(lines: &[Smoothed]) -> String {
    let fade = drawing(WIDTH, HEIGHT, |pen| creep(pen, lines));
    fade + &drawing(WIDTH, HEIGHT, |pen| jump(pen, lines))
}

fn creep(pen: &Pen, lines: &[Smoothed]) {
    let x = Axis::linear("s after the fade begins", FADE[0], FADE[1], |time| {
        significant(time, 3)
    });
    let top = 65_535.0 * fade_place(FADE[1]);
    let y = Axis::linear("Level", 0.0, 257.0 * (top / 257.0).ceil(), |level| {
        significant(level, 5)
    });
    let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, LONG_NAMES), &x, &y);
    let sent = |time_s: f64| (255.0 * fade_place(time_s)).round() * 257.0;
    let moments = (0..=2_600).map(|k| FADE[0] + f64::from(k) / 1e3);
    frame.line(moments.map(|time_s| (time_s, sent(time_s))), SENT);
    for line in lines {
        let shown = line.fade.iter().copied();
        frame.line(
            shown.filter(|(time_s, _)| within(FADE, *time_s)),
            stroke(line),
        );
    }
    let names: Vec<String> = lines.iter().map(name).collect();
    let keys = names
        .iter()
        .map(String::as_str)
        .zip(lines.iter().map(stroke));
    let keys: Vec<_> = [("sent, 8 bits", SENT)].into_iter().chain(keys).collect();
    frame.keys(&keys);
}

fn jump(pen: &Pen, lines: &[Smoothed]) {
    let x = Axis::linear("ms after the jump is asked for", JUMP[0], JUMP[1], |time| {
        significant(time, 3)
    });
    let y = Axis::linear("Level", 0.0, 65_535.0, |level| significant(level, 5));
    let frame = Frame::new(pen, Edges::within(WIDTH, HEIGHT, MARGIN), &x, &y);
    for line in lines {
        let shown = line
            .jump
            .iter()
            .map(|(time_s, level)| (1e3 * time_s, *level));
        frame.line(shown.filter(|(time, _)| within(JUMP, *time)), stroke(line));
    }
}

fn within([from, to]: [f64; 2], value: f64) -> bool {
    (from..=to).contains(&value)
}

const SENT: Stroke = Stroke {
    colour: GREY,
    width: 1.0,
    dash: None,
};

fn stroke(line: &Smoothed) -> Stroke {
    Stroke {
        colour: if line.bits == 8 { ACCENT } else { BLACK },
        width: 1.75,
        dash: match line.line {
            LineState::Good => None,
            LineState::Jittered => Some((9.0, 4.0)),
            LineState::Lossy => Some((2.5, 3.0)),
        },
    }
}

fn name(line: &Smoothed) -> String {
    let state = match line.line {
        LineState::Good => "good",
        LineState::Jittered => "late",
        LineState::Lossy => "lossy",
    };
    format!("{} bits, {state}", line.bits)
}
