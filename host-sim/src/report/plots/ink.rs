//! Colours and strokes.

use plotters::style::RGBColor;

pub(super) const BLACK: RGBColor = RGBColor(0, 0, 0);
/// Gridlines.
pub(super) const FAINT: RGBColor = RGBColor(222, 222, 222);
/// Axes, leaders and other helpers.
pub(super) const GREY: RGBColor = RGBColor(110, 110, 110);
/// The page's accent colour, `--accent` in its style sheet.
pub(super) const ACCENT: RGBColor = RGBColor(0, 92, 168);

/// How a line looks.
#[derive(Clone, Copy)]
pub(super) struct Stroke {
    pub(super) colour: RGBColor,
    pub(super) width: f64,
    /// Lengths of dash and gap; none for an unbroken line.
    pub(super) dash: Option<(f64, f64)>,
}

impl Stroke {
    pub(super) fn solid(colour: RGBColor, width: f64) -> Self {
        Self {
            colour,
            width,
            dash: None,
        }
    }

    pub(super) fn dashed(colour: RGBColor, width: f64) -> Self {
        Self {
            colour,
            width,
            dash: Some((8.0, 5.0)),
        }
    }

    /// The stroke of a channel: neighbours differ in colour and in dash.
    pub(super) fn channel(index: usize, count: usize) -> Self {
        let dash = [None, Some((9.0, 4.0)), Some((2.5, 3.0))][index % 3];
        let position = index as f64 / count.saturating_sub(1).max(1) as f64;
        Self {
            colour: ordered(position),
            width: 2.2,
            dash,
        }
    }
}

/// Dark to mid stops of viridis (Smith and van der Walt 2015, CC0; from memory): perceptually
/// ordered, told apart by colour-blind people, and dark enough on white.
const ORDERED: [(u8, u8, u8); 4] = [(68, 1, 84), (65, 68, 135), (42, 120, 142), (34, 168, 132)];

fn ordered(position: f64) -> RGBColor {
    let scaled = position.clamp(0.0, 1.0) * (ORDERED.len() - 1) as f64;
    let below = (scaled as usize).min(ORDERED.len() - 2);
    let (from, to) = (ORDERED[below], ORDERED[below + 1]);
    let mix = |a: u8, b: u8| {
        (f64::from(a) + (f64::from(b) - f64::from(a)) * (scaled - below as f64)).round() as u8
    };
    RGBColor(mix(from.0, to.0), mix(from.1, to.1), mix(from.2, to.2))
}
