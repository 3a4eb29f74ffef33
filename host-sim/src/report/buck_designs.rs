//! What a buck converter's design page and the document say of it.

use serde_json::{Value, json};

use crate::description::Description;
use crate::optics::drivers::{Buck, BuckDesign, BuckFigures, Driver};

/// Tolerances of supply and delay that are shown, as fractions either way.
pub(super) const SUPPLIES: [f64; 3] = [0.0, 0.05, 0.1];
pub(super) const DELAYS: [f64; 3] = [0.0, 0.2, 0.5];

/// Ripples that are shown, over the mean, and frequencies, over the present one.
pub(super) const RIPPLES: [f64; 3] = [0.1, 0.2, 0.4];
pub(super) const FREQUENCIES: [f64; 3] = [0.5, 1.5, 2.0];

/// An off-time, and what the converter does with it; none where it cannot be.
pub(super) fn off_time(buck: &Buck, found: Option<f64>) -> Option<(f64, BuckDesign)> {
    let off_time_s = found?;
    let figures = BuckFigures {
        off_time_s,
        ..buck.figures()
    };
    Some((off_time_s, Buck::new(figures).ok()?.design()))
}

/// One object a channel with a buck converter.
pub(super) fn buck_designs(description: &Description) -> Vec<Value> {
    let channels = description.channels.iter();
    let bucks = channels.filter_map(|channel| match &channel.driver {
        Driver::Buck(buck) => Some((&channel.name, buck)),
        _ => None,
    });
    bucks.map(|(name, buck)| buck_design(name, buck)).collect()
}

fn buck_design(name: &str, buck: &Buck) -> Value {
    let design = buck.design();
    json!({
        "channel": name,
        "mean_a": design.mean_a,
        "peak_a": design.peak_a,
        "ripple_a": design.ripple_a,
        "frequency_hz": design.frequency_hz,
        "on_time_s": design.on_time_s,
        "closed": design.closed,
        "continuous": design.continuous,
        "rise_s": design.rise_s,
        "fall_s": design.fall_s,
        "shortest_on_time_s": design.rise_s,
        "line_sensitivity": buck.line_sensitivity(),
        "mean_spread": spreads(buck),
        "off_times": off_times(buck),
    })
}

/// Each tolerance of supply with each of delay; null where a corner of them cannot be.
fn spreads(buck: &Buck) -> Vec<Value> {
    let pairs = SUPPLIES
        .iter()
        .flat_map(|&supply| DELAYS.map(|delay| (supply, delay)));
    pairs
        .map(|(supply, delay)| {
            let spread = buck.mean_spread(supply, delay).ok();
            json!({
                "supply": supply,
                "delay": delay,
                "least": spread.map(|spread| spread.least),
                "most": spread.map(|spread| spread.most),
            })
        })
        .collect()
}

fn off_times(buck: &Buck) -> Vec<Value> {
    let design = buck.design();
    let ripples = RIPPLES.map(|part| buck.off_time_for_ripple(part * design.mean_a));
    let hertz = FREQUENCIES.map(|factor| factor * design.frequency_hz);
    let frequencies = hertz.map(|hertz| buck.off_time_for_frequency(hertz));
    let found = ripples.into_iter().chain(frequencies);
    found
        .filter_map(|found| off_time(buck, found))
        .map(|(off_time_s, design)| {
            json!({
                "off_time_s": off_time_s,
                "ripple_a": design.ripple_a,
                "frequency_hz": design.frequency_hz,
                "mean_a": design.mean_a,
            })
        })
        .collect()
}
