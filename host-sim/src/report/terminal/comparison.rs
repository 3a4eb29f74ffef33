//! Ways of dimming side by side, in a few lines.

use super::columns::paragraph;
use super::plain::plain;
use crate::check::compare::{AnalogRow, Compared, ComparedRow, Comparison};
use crate::numbers::{percent, quantity, significant};

const HEADINGS: [&str; 9] = [
    "way", "SVM", "<90 Hz", "PstLM", "no eff", "edges/s", "pulse", "peak", "light",
];

/// Each way at its worst light, and at the lowest test light.
#[must_use]
pub fn comparison_table(comparison: &Comparison, width: usize) -> String {
    let width = width.clamp(*super::WIDTHS.start(), *super::WIDTHS.end());
    let lowest = lowest(comparison);
    let words = format!(
        "side by side: flicker at its worst light (no effect: times its limit); edges, shortest pulse, supply peak in full \
         currents and light off the curve at {}, worst recipe",
        percent(lowest)
    );
    let mut rows = vec![HEADINGS.map(str::to_owned).to_vec()];
    rows.extend(comparison.ways.iter().map(|way| cells(way, lowest)));
    "\n".to_owned()
        + &paragraph(&words, "", width)
        + &plain(&rows, width)
        + &analog(comparison, width)
}

fn lowest(comparison: &Comparison) -> f64 {
    let rows = comparison.analog.iter().map(|row| row.light);
    rows.fold(1.0, f64::min)
}

fn cells(way: &Compared, lowest: f64) -> Vec<String> {
    let worst = |figure| way.worst(figure).map_or(0.0, |(value, _)| value);
    let rows: Vec<_> = way
        .rows
        .iter()
        .filter(|row| row.flicker.light == lowest)
        .collect();
    let most =
        |figure: fn(&ComparedRow) -> f64| rows.iter().map(|row| figure(row)).fold(0.0, f64::max);
    let shortest = rows.iter().filter_map(|row| row.shortest_pulse_s);
    let shortest = shortest.fold(f64::INFINITY, f64::min);
    vec![
        way.name.clone() + if way.is_exact { "" } else { " *" },
        short(worst(|row| row.svm)),
        short_percent(worst(|row| row.below_90_hz)),
        short(worst(|row| row.slow_flicker)),
        short(worst(|row| row.no_effect)),
        significant(most(|row| row.edges_hz), 3),
        if shortest.is_finite() {
            quantity(shortest, "s")
        } else {
            "-".to_owned()
        },
        significant(most(|row| row.supply_peak), 3),
        short_percent(most(|row| row.light_error.abs())),
    ]
}

/// What is next to nothing is shown as nothing.
fn short(value: f64) -> String {
    significant(if value < 5e-4 { 0.0 } else { value }, 2)
}

pub(super) fn short_percent(fraction: f64) -> String {
    let percent = 100.0 * fraction;
    format!(
        "{} %",
        significant(if percent < 5e-4 { 0.0 } else { percent }, 2)
    )
}

/// What a set point of the lowest light really gives.
fn analog(comparison: &Comparison, width: usize) -> String {
    let deepest = comparison
        .analog
        .iter()
        .filter(|row| row.light == lowest(comparison));
    let worst = deepest.max_by(|one, other| one.light_error.total_cmp(&other.light_error));
    let recorded = "* lines of records up to 4 kHz, at fewer lights";
    paragraph(recorded, "", width) + &worst.map_or(String::new(), |row| words(row, width))
}

fn words(row: &AnalogRow, width: usize) -> String {
    let [low, _, high] = row.given.map(percent);
    let text = format!(
        "plain analog: no flicker, but a set point of {} gives {low} to {high} in 95 % of units, u'v' {} off; a channel is \
         dark in {}",
        percent(row.light),
        significant(row.colour_error, 2),
        percent(row.dark)
    );
    paragraph(&text, "", width)
}
