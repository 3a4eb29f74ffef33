//! What bins and temperatures do to the flux: the setting of a flux correction, where the luminaire has one.

use super::{lower, prefix};
use crate::description::Channel;
use crate::emit::parts::Parts;
use crate::thermal::{PERIOD_S, millicelsius, millionths, thousandths};

pub(super) fn declared(parts: &Parts<'_>) -> String {
    if !parts.description.board.flux_correction {
        return String::new();
    }
    let (name, prefix) = (&parts.name, prefix(parts));
    format!(
        "
// Milliseconds from step to step of the flux correction.
#define {prefix}_CORRECTION_MS {}u

// For milliglow_flux_init: what gives back in the shares what bins and temperatures take.
extern const milliglow_flux_setting {name}_flux_correction;
",
        thousandths(PERIOD_S)
    )
}

pub(super) fn defined(parts: &Parts<'_>) -> String {
    let board = &parts.description.board;
    if !board.flux_correction {
        return String::new();
    }
    let (name, prefix) = (&parts.name, prefix(parts));
    let named = || parts.channel_names.iter().zip(&parts.description.channels);
    let knots: String = named().map(|(name, given)| knots(name, given)).collect();
    let channels: String = named().map(|(name, given)| channel(name, given)).collect();
    format!(
        "{knots}
static const milliglow_flux_channel flux_channels[{prefix}_CHANNELS] = {{
{channels}}};

const milliglow_flux_setting {name}_flux_correction = {{
    .channels = flux_channels,
    .channel_count = {prefix}_CHANNELS,
    .period_ms = {prefix}_CORRECTION_MS,
    .fallback_millicelsius = {},
    .cap_milliwatts = {}u,
}};
",
        millicelsius(board.celsius),
        board.power_cap_w.map_or(0, thousandths),
    )
}

fn knots(name: &str, channel: &Channel) -> String {
    let knots = &channel.flux_model.knots;
    if knots.is_empty() {
        return String::new();
    }
    let entries = knots.iter().map(|&(celsius, flux)| {
        format!(
            "    {{{}, {}u}},\n",
            millicelsius(celsius),
            millionths(flux)
        )
    });
    format!(
        "\nstatic const milliglow_flux_knot flux_knots_{}[{}] = {{\n{}}};\n",
        lower(name),
        knots.len(),
        entries.collect::<String>()
    )
}

fn channel(name: &str, channel: &Channel) -> String {
    let model = &channel.flux_model;
    let knots = match model.knots.len() {
        0 => String::new(),
        count => format!(
            "        .knots = flux_knots_{},\n        .knot_count = {count},\n",
            lower(name)
        ),
    };
    format!(
        "    // {}
    {{
{knots}        .bin_ppm = {}u,
        .milliwatts = {}u,
        .millikelvin_per_watt = {}u,
        .time_constant_ms = {}u,
    }},
",
        channel.name,
        millionths(model.bin_factor),
        thousandths(channel.power_w.unwrap_or(0.0)),
        thousandths(model.thermal_k_per_w.unwrap_or(0.0)),
        thousandths(model.time_constant_s),
    )
}
