//! Electrical power through the script, against its cap.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame};
use super::ink::{ACCENT, BLACK, GREY, Stroke};
use super::pen::drawing;
use super::script_light::{below_names, fades};
use super::{HEIGHT, LONG_NAMES, WIDTH};
use crate::numbers::significant;
use crate::report::Checked;

/// With shares as the recipes have them, and with the flux correction.
pub(in crate::report) fn power(checked: &Checked) -> String {
    let rows = || {
        checked
            .observed
            .fade_powers
            .iter()
            .flat_map(|fade| &fade.rows)
    };
    let cap = checked.description.board.power_cap_w;
    let end_s = rows().last().map_or(1.0, |row| row.0);
    let x = Axis::time(end_s.max(1e-3));
    let all = rows().flat_map(|row| row.1).chain(cap);
    let y = Axis::over(Scale::Linear, "power in W", all, |power| {
        significant(power, 3)
    });
    let lines = [
        ("uncorrected", Stroke::dashed(GREY, 1.5)),
        ("corrected", Stroke::solid(BLACK, 1.75)),
    ];
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(
            pen,
            below_names(Edges::within(WIDTH, HEIGHT, LONG_NAMES)),
            &x,
            &y,
        );
        fades(&frame, pen, checked);
        let mut keys = lines.to_vec();
        if let Some(cap) = cap {
            let stroke = Stroke::dashed(ACCENT, 1.5);
            frame.level(cap, stroke);
            keys.push(("cap", stroke));
        }
        for (k, (_, stroke)) in lines.into_iter().enumerate() {
            let points = rows().map(|row| (row.0, row.1[k]));
            frame.line([(0.0, 0.0)].into_iter().chain(points), stroke);
        }
        frame.keys(&keys);
    })
}
