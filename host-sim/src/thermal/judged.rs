//! Whether a file says enough of temperatures.

use crate::description::{Channel, Description};

/// The keys that a channel lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Its name.
    pub channel: String,
    /// The keys.
    pub keys: Vec<&'static str>,
}

/// The first channel that lacks a key, with all that it lacks; none where junctions and fluxes can be told.
#[must_use]
pub fn missing(description: &Description) -> Option<Missing> {
    description.channels.iter().find_map(|channel| {
        let keys = lacking(channel);
        (!keys.is_empty()).then(|| Missing {
            channel: channel.name.clone(),
            keys,
        })
    })
}

fn lacking(channel: &Channel) -> Vec<&'static str> {
    let model = &channel.flux_model;
    let keys = [
        (channel.power_w.is_none(), "power_w"),
        (model.knots.is_empty(), "flux_over_temperature"),
        (model.thermal_k_per_w.is_none(), "thermal_k_per_w"),
    ];
    let lacking = keys.into_iter().filter(|(lacks, _)| *lacks);
    lacking.map(|(_, key)| key).collect()
}
