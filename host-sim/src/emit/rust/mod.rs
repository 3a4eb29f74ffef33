//! The Rust module. Every list stands one entry a line, so that rustfmt finds nothing to join or to break.

mod flux;
mod operating;
mod recipes;
mod script;
mod uses;

use milliglow::luminaire::{Lowest, RangeChoice};

use super::File;
use super::parts::Parts;
use crate::description::CurveChoice;
use crate::numbers::grouped;
use crate::run::{lowest, range_choice};

pub(super) fn module(parts: &Parts<'_>) -> File {
    let body = [
        rates(parts),
        operating::modulations(parts),
        operating::tables(parts),
        configuration(parts),
        flux::correction(parts),
        recipes::recipes(parts),
        script::script(parts),
    ]
    .concat();
    let head: String = parts.head().iter().map(|line| commented(line)).collect();
    let allow = "#![allow(dead_code, reason = \"a firmware takes what it needs\")]\n";
    File {
        name: format!("{}.rs", parts.name),
        text: format!("{head}{allow}\n{}{body}", uses::of(&body)),
    }
}

fn commented(line: &str) -> String {
    format!("//! {line}").trim_end().to_owned() + "\n"
}

/// A number as Rust writes it.
fn number(number: u32) -> String {
    grouped(number.into())
}

/// A constant, its value on a line of its own where rustfmt puts it there.
fn assigned(what: &str, value: &str) -> String {
    const LONGEST: usize = 100;
    let line = format!("{what} = {value};");
    if line.len() <= LONGEST {
        return line;
    }
    format!("{what} =\n    {value};")
}

/// A fraction in units of 2^-32.
fn bits(fraction: u32) -> String {
    format!("0x{:04X}_{:04X}", fraction >> 16, fraction & 0xFFFF)
}

fn rates(parts: &Parts<'_>) -> String {
    let description = parts.description;
    let channels = &description.channels;
    let names: Vec<_> = channels
        .iter()
        .map(|channel| channel.name.as_str())
        .collect();
    let curve = match description.curve {
        CurveChoice::Exponential { depth, tail_levels } => format!(
            "Curve::Exponential(constant!(Exponential::new({}, {})))",
            number(depth),
            number(tail_levels.into())
        ),
        CurveChoice::Lightness => "Curve::Lightness".to_owned(),
        CurveChoice::Linear => "Curve::Linear".to_owned(),
    };
    format!(
        "
/// Ticks a second of the streams.
pub const TICK_HZ: u32 = {};

/// Control steps a second; each takes effect with the first word of 32 ticks that begins at or after it.
pub const CONTROL_HZ: u32 = {};

/// The channels: {}.
pub const CHANNELS: usize = {};

/// Seed of the dither.
pub const SEED: u32 = {};

/// From Level to light.
pub const CURVE: Curve = {curve};
",
        number(description.tick_hz),
        number(description.control_hz),
        names.join(", "),
        channels.len(),
        number(description.seed),
    )
}

fn configuration(parts: &Parts<'_>) -> String {
    let places = 0..parts.description.channels.len();
    let table = |channel| match Parts::of_channel(&parts.tables, channel) {
        Some(table) => format!("&OPERATING_{}", parts.called(&parts.tables[table])),
        None => "&Table::PLAIN".to_owned(),
    };
    let range_choice = match range_choice(parts.description) {
        RangeChoice::Own => "Own",
        RangeChoice::Common => "Common",
    };
    format!(
        "
/// What the luminaire is.
pub const CONFIGURATION: Configuration<'static, CHANNELS> = Configuration {{
    curve: CURVE,
    modulation: MODULATION,
    operating: [
{}    ],
    range_choice: RangeChoice::{range_choice},
    lowest: {},
    seed: SEED,
}};
",
        listed(parts, 8, places.map(table)),
        lowest_light(lowest(parts.description)),
    )
}

fn lowest_light(lowest: Lowest) -> String {
    match lowest {
        Lowest::Any => "Lowest::Any".to_owned(),
        Lowest::Clamp(light) => {
            format!("Lowest::Clamp(Light::from_bits({}))", bits(light.to_bits()))
        }
        Lowest::Off {
            below,
            hysteresis_shift,
        } => format!(
            "Lowest::Off {{
        below: Light::from_bits({}),
        hysteresis_shift: {hysteresis_shift},
    }}",
            bits(below.to_bits())
        ),
    }
}

/// One entry a channel, below its name.
fn listed(parts: &Parts<'_>, indent: usize, entries: impl Iterator<Item = String>) -> String {
    let channels = parts.description.channels.iter().zip(entries);
    let space = " ".repeat(indent);
    channels
        .map(|(channel, entry)| format!("{space}// {}\n{space}{entry},\n", channel.name))
        .collect()
}
