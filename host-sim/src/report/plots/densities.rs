//! Density of each channel through the script.

use super::axis::{Axis, Scale};
use super::frame::{Edges, Frame, NAMES};
use super::ink::Stroke;
use super::pen::drawing;
use super::script_light::{below_names, fades, time_axis};
use super::{HEIGHT, WIDTH};
use crate::numbers::significant;
use crate::report::Checked;

pub(in crate::report) fn densities(checked: &Checked, scale: Scale) -> String {
    let script = &checked.observed.script;
    let channels = &checked.description.channels;
    let x = time_axis(checked);
    let all = script
        .iter()
        .flat_map(|moment| moment.densities.iter().copied());
    let y = Axis::over(scale, "density (ones per tick)", all, |density| {
        significant(density, 4)
    });
    drawing(WIDTH, HEIGHT, |pen| {
        let frame = Frame::new(
            pen,
            below_names(Edges::within(WIDTH, HEIGHT, NAMES)),
            &x,
            &y,
        );
        fades(&frame, pen, checked);
        let mut keys = Vec::new();
        for (i, channel) in channels.iter().enumerate() {
            let stroke = Stroke::channel(i, channels.len());
            frame.line(
                script
                    .iter()
                    .map(|moment| (moment.time_s, moment.densities[i])),
                stroke,
            );
            keys.push((&*channel.name, stroke));
        }
        frame.keys(&keys);
    })
}
