//! How drivers work at the test lights, as JSON.

use serde_json::{Value, json};

use crate::report::Checked;
use crate::run::{Driving, SupplyCurrent};

/// One object per recipe and test light.
pub(super) fn drivers(checked: &Checked) -> Vec<Value> {
    let driving = checked.observed.driving.iter();
    driving.map(|at| at_light(checked, at)).collect()
}

fn at_light(checked: &Checked, at: &Driving) -> Value {
    let indices = 0..at.channels.len();
    json!({
        "recipe": checked.description.recipes[at.recipe].name,
        "light": at.light,
        "channels": indices.map(|index| channel(checked, at, index)).collect::<Vec<_>>(),
        "supply": {
            "spread": supply(&at.spread),
            "together": supply(&at.together),
        },
    })
}

fn channel(checked: &Checked, at: &Driving, index: usize) -> Value {
    let (described, channel) = (&checked.description.channels[index], &at.channels[index]);
    let row = described.rows.get(channel.row);
    json!({
        "channel": described.name,
        "row": channel.row,
        "range_ratio": row.map(|row| row.range_ratio),
        "stretch": row.map(|row| row.stretch),
        "edges_hz": channel.edges_hz,
        "shortest_pulse_s": channel.shortest_pulse_s,
        "light_error": channel.error.map(|error| error.corrected),
        "light_error_uncorrected": channel.error.map(|error| error.uncorrected),
    })
}

fn supply(current: &SupplyCurrent) -> Value {
    json!({
        "peak": current.peak,
        "modulation": current.modulation,
        "ripple": current.ripple,
        "strongest_line": current.strongest_line().map(|(frequency_hz, amplitude)| {
            json!({ "frequency_hz": frequency_hz, "amplitude": amplitude })
        }),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn each_light_tells_its_channels_and_both_supplies() {
        let mut checked = fixture::checked();
        checked.observed.driving[0].together.lines.clear();
        let drivers = drivers(&checked);
        assert_eq!(drivers.len(), 10);
        let keys: Vec<_> = drivers[0]["channels"][0]
            .as_object()
            .unwrap()
            .keys()
            .collect();
        let expected = [
            "channel",
            "row",
            "range_ratio",
            "stretch",
            "edges_hz",
            "shortest_pulse_s",
            "light_error",
            "light_error_uncorrected",
        ];
        assert_eq!(keys, expected);
        let supply = &drivers[0]["supply"];
        assert_eq!(supply["spread"]["strongest_line"]["frequency_hz"], 1_000.0);
        assert!(supply["together"]["strongest_line"].is_null());
    }
}
