//! What bins and temperatures do to the flux: the core's flux correction, where the luminaire has one.

use super::{listed, number};
use crate::description::Channel;
use crate::emit::parts::Parts;
use crate::thermal::{PERIOD_S, millicelsius, millionths, thousandths};

pub(super) fn correction(parts: &Parts<'_>) -> String {
    let description = parts.description;
    if !description.board.flux_correction {
        return String::new();
    }
    let named = parts.channel_names.iter().zip(&description.channels);
    let channels: String = named
        .clone()
        .map(|(name, given)| channel(name, given))
        .collect();
    let all = named.map(|(name, _)| format!("CHANNEL_FLUX_{name}"));
    let new = "Correction::new(FLUXES, CORRECTION_MS, BOARD)";
    let made = match description.board.power_cap_w {
        None => format!("pub static FLUX_CORRECTION: Correction = constant!({new});"),
        Some(cap) => format!(
            "pub static FLUX_CORRECTION: Correction = constant!(UNCAPPED.with_power_cap({}));

const UNCAPPED: Correction = constant!({new});",
            number(thousandths(cap))
        ),
    };
    format!(
        "{channels}
const FLUXES: [Channel; CHANNELS] = [
{}];

/// Milliseconds from step to step of the flux correction.
pub const CORRECTION_MS: u32 = {};

/// What it takes where the sensor says nothing sensible.
const BOARD: Temperature = {};

/// Of the flux correction.
pub type Correction = milliglow::flux_correction::Configuration<CHANNELS>;

/// For an `Estimator`, which gives back what bins and temperatures take.
{made}
",
        listed(parts, 4, all),
        number(thousandths(PERIOD_S)),
        temperature(description.board.celsius),
    )
}

fn channel(name: &str, channel: &Channel) -> String {
    let model = &channel.flux_model;
    let table = match model.knots.len() {
        0 => "FluxTable::STEADY".to_owned(),
        _ => format!("constant!(FluxTable::new(&FLUX_KNOTS_{name}))"),
    };
    format!(
        "{}
const CHANNEL_FLUX_{name}: Channel = constant!(Channel::new(
    {table},
    {},
    Heating {{
        milliwatts: {},
        millikelvin_per_watt: {},
        time_constant_ms: {},
    }}
));
",
        knots(name, &model.knots),
        factor(model.bin_factor),
        number(thousandths(channel.power_w.unwrap_or(0.0))),
        number(thousandths(model.thermal_k_per_w.unwrap_or(0.0))),
        number(thousandths(model.time_constant_s)),
    )
}

fn knots(name: &str, knots: &[(f64, f64)]) -> String {
    if knots.is_empty() {
        return String::new();
    }
    let entry = |&(celsius, flux): &(f64, f64)| {
        format!(
            "    // {celsius} degrees Celsius\n    (\n        {},\n        {},\n    ),\n",
            temperature(celsius),
            factor(flux)
        )
    };
    format!(
        "\nconst FLUX_KNOTS_{name}: [(Temperature, Factor); {}] = [\n{}];\n",
        knots.len(),
        knots.iter().map(entry).collect::<String>()
    )
}

fn temperature(celsius: f64) -> String {
    let sign = if celsius < 0.0 { "-" } else { "" };
    let size = number(millicelsius(celsius).unsigned_abs());
    format!("constant!(Temperature::from_millicelsius_nearest({sign}{size}))")
}

fn factor(factor: f64) -> String {
    let millionths = number(millionths(factor));
    format!("constant!(Factor::from_ratio_nearest({millionths}, 1_000_000))")
}
