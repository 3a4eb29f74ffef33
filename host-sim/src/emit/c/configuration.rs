//! Tables and configuration as constants.

use milliglow::luminaire::{Lowest, RangeChoice};
use milliglow::operating::Settling;

use super::lower;
use crate::description::{CurveChoice, Modulation};
use crate::emit::parts::Parts;
use crate::emit::tables::{RATIO_UNITS, Rows, Shared, lowest_terms};
use crate::numbers::percent;
use crate::run::{RowNumbers, lowest, range_choice, settling};

pub(super) fn tables(parts: &Parts<'_>) -> String {
    parts
        .tables
        .iter()
        .map(|shared| table(parts, shared))
        .collect()
}

/// A loss of light stands as a delay in units of 2^-26 ticks, so that the core's own unit comes through exactly.
fn table(parts: &Parts<'_>, shared: &Shared<Rows>) -> String {
    let (name, numbers) = (lower(parts.called(shared)), &shared.value.numbers);
    let (settling, ticks, words) = match settling(parts.description) {
        Settling::Dark { words } => ("DARK", 0, words),
        Settling::Booked { ticks, words } => ("BOOKED", ticks, words),
        _ => ("AT_ONCE", 0, 0),
    };
    format!(
        "
// The rows of {}. Times are in units of 2^-26 ticks; one delay stands for all that an edge takes.
static const milliglow_row rows_{name}[{count}] = {{
{}}};

static const milliglow_table_setting table_{name} = {{
    .rows = rows_{name},
    .row_count = {count},
    .tick_ps = {}u,
    .hysteresis_shift = {},
    .settling = MILLIGLOW_SETTLING_{settling},
    .settling_ticks = {ticks},
    .settling_words = {words},
    .modulation = {},
}};
",
        parts.channels(shared),
        numbers.iter().map(row).collect::<String>(),
        RowNumbers::EDGE_UNITS,
        parts.description.operating.hysteresis_shift,
        modulation(shared.value.modulation),
        count = numbers.len(),
    )
}

fn row(row: &RowNumbers) -> String {
    let delay = if row.edge_loss < 0 { "off" } else { "on" };
    let (above, below) = lowest_terms(row.ratio.to_bits(), RATIO_UNITS);
    format!(
        "    // From {} of the channel's light on.
    {{
        .from_light = 0x{:08X}u,
        .ratio_numerator = {above}u,
        .ratio_denominator = {below}u,
        .{delay}_delay_ps = {}u,
        .stretch_ticks = {},
        .range = {},
    }},
",
        percent(row.from_light.as_f64()),
        row.from_light.to_bits(),
        row.edge_loss.unsigned_abs(),
        row.stretch.ticks(),
        row.range,
    )
}

fn modulation(modulation: Modulation) -> String {
    let dither = |shift: Option<u8>| match shift {
        Some(shift) => shift.to_string(),
        None => "MILLIGLOW_NO_DITHER".to_owned(),
    };
    match modulation {
        Modulation::FirstOrder => "{.kind = MILLIGLOW_MODULATION_FIRST_ORDER}".to_owned(),
        Modulation::SecondOrder => "{.kind = MILLIGLOW_MODULATION_SECOND_ORDER}".to_owned(),
        Modulation::Dithered { width_shift } => {
            format!("{{.kind = MILLIGLOW_MODULATION_DITHERED, .dither_shift = {width_shift}}}")
        }
        Modulation::Timer {
            bits,
            order,
            width_shift,
        } => format!(
            "{{.kind = MILLIGLOW_MODULATION_TIMER,
         .dither_shift = {},
         .timer_bits = {bits},
         .timer_order = MILLIGLOW_ORDER_{}}}",
            dither(width_shift),
            ["ROUNDING", "FIRST", "SECOND"][usize::from(order.min(2))]
        ),
    }
}

pub(super) fn configuration(parts: &Parts<'_>) -> String {
    let description = parts.description;
    let curve = match description.curve {
        CurveChoice::Exponential { depth, tail_levels } => format!(
            "{{.kind = MILLIGLOW_CURVE_EXPONENTIAL, .depth = {depth}, .tail_levels = {tail_levels}}}"
        ),
        CurveChoice::Lightness => "{.kind = MILLIGLOW_CURVE_LIGHTNESS}".to_owned(),
        CurveChoice::Linear => "{.kind = MILLIGLOW_CURVE_LINEAR}".to_owned(),
    };
    let range_choice = match range_choice(description) {
        RangeChoice::Own => "OWN",
        RangeChoice::Common => "COMMON",
    };
    let modulations = description.channels.iter().map(|channel| {
        let modulation = modulation(channel.modulation);
        format!("        // {}\n        {modulation},\n", channel.name)
    });
    format!(
        "
// Without its tables, which are made at run time.
static const milliglow_configuration configuration = {{
    .curve = {curve},
    .lowest = {},
    .seed = {}u,
    .channels = {},
    .range_choice = MILLIGLOW_RANGES_{range_choice},
    .modulation = {{
{}    }},
}};
",
        lowest_light(lowest(description)),
        description.seed,
        description.channels.len(),
        modulations.collect::<String>(),
    )
}

fn lowest_light(lowest: Lowest) -> String {
    match lowest {
        Lowest::Any => "{.kind = MILLIGLOW_LOWEST_ANY}".to_owned(),
        Lowest::Clamp(light) => format!(
            "{{.kind = MILLIGLOW_LOWEST_CLAMP, .light = 0x{:08X}u}}",
            light.to_bits()
        ),
        Lowest::Off {
            below,
            hysteresis_shift,
        } => format!(
            "{{.kind = MILLIGLOW_LOWEST_OFF, .light = 0x{:08X}u, .hysteresis_shift = {hysteresis_shift}}}",
            below.to_bits()
        ),
    }
}
