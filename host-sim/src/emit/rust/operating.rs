//! Modulations and operating tables.

use milliglow::Light;
use milliglow::density::Stretch;
use milliglow::operating::Settling;

use super::{assigned, bits, listed, number};
use crate::description::Modulation;
use crate::emit::parts::Parts;
use crate::emit::tables::{RATIO_UNITS, Rows, Shared, lowest_terms};
use crate::numbers::percent;
use crate::run::{RowNumbers, settling};

pub(super) fn modulations(parts: &Parts<'_>) -> String {
    let made = parts.modulations.iter();
    let made: String = made
        .map(|shared| beforehand(shared.value, parts.called(shared)))
        .collect();
    let channels = 0..parts.description.channels.len();
    let each = channels.map(|channel| of_channel(parts, channel));
    format!(
        "{made}
/// From density to stream, a channel each.
pub const MODULATION: [Modulation; CHANNELS] = [
{}];
",
        listed(parts, 4, each)
    )
}

fn of_channel(parts: &Parts<'_>, channel: usize) -> String {
    let place = Parts::of_channel(&parts.modulations, channel);
    let shared = place.map(|place| &parts.modulations[place]);
    shared.map_or_else(String::new, |shared| {
        expression(shared.value, parts.called(shared))
    })
}

/// Constants that the expression needs.
fn beforehand(modulation: Modulation, name: &str) -> String {
    let dither = |shift| {
        format!("\nconst DITHER_{name}: DitherWidth = constant!(DitherWidth::new({shift}));\n")
    };
    match modulation {
        Modulation::FirstOrder | Modulation::SecondOrder => String::new(),
        Modulation::Dithered { width_shift } => dither(width_shift),
        Modulation::Timer {
            bits,
            order,
            width_shift,
        } => {
            let order = ["Rounding", "First", "Second"][usize::from(order.min(2))];
            let width = match width_shift {
                Some(_) => format!("Some(DITHER_{name})"),
                None => "None".to_owned(),
            };
            let what = format!("pub const PWM_{name}: TimerPwm");
            let pwm = format!("constant!(TimerPwm::new({bits}, Order::{order}, {width}))");
            format!(
                "{}\n/// A timer's PWM.\n{}\n",
                width_shift.map(dither).unwrap_or_default(),
                assigned(&what, &pwm)
            )
        }
    }
}

fn expression(modulation: Modulation, name: &str) -> String {
    match modulation {
        Modulation::FirstOrder => "Modulation::FirstOrder".to_owned(),
        Modulation::SecondOrder => "Modulation::SecondOrder".to_owned(),
        Modulation::Dithered { .. } => format!("Modulation::Dithered(DITHER_{name})"),
        Modulation::Timer { .. } => format!("Modulation::Timer(PWM_{name})"),
    }
}

pub(super) fn tables(parts: &Parts<'_>) -> String {
    let tables = parts.tables.iter();
    tables.map(|shared| table(parts, shared)).collect()
}

fn table(parts: &Parts<'_>, shared: &Shared<Rows>) -> String {
    let (name, numbers) = (parts.called(shared), &shared.value.numbers);
    let modulation = of_channel(parts, shared.channels[0]);
    let rows = numbers.iter().map(|row| self::row(row, &modulation));
    format!(
        "
const ROWS_{name}: [Row; {}] = [
{}];

/// The operating table of {}.
pub static OPERATING_{name}: Table = {{
    let table = constant!(Table::new(&ROWS_{name}, {}));
    table.with_settling({})
}};
",
        numbers.len(),
        rows.collect::<String>(),
        parts.channels(shared),
        parts.description.operating.hysteresis_shift,
        settled(settling(parts.description)),
    )
}

fn settled(settling: Settling) -> String {
    match settling {
        Settling::Dark { words } => format!("Settling::Dark {{ words: {words} }}"),
        Settling::Booked { ticks, words } => format!(
            "Settling::Booked {{
        // The time constant.
        ticks: {},
        words: {words},
    }}",
            number(ticks.into())
        ),
        _ => "Settling::AtOnce".to_owned(),
    }
}

fn row(row: &RowNumbers, modulation: &str) -> String {
    let from_light = if row.from_light == Light::BLACK {
        "Light::BLACK".to_owned()
    } else {
        format!("Light::from_bits({})", bits(row.from_light.to_bits()))
    };
    format!(
        "    // From {} of the channel's light on.
    constant!(Row::new(
        &RowSetting {{
            from_light: {from_light},
            range: {},
            ratio: {},
            stretch: Stretch::{},
            edges: {},
        }},
        {modulation}
    )),
",
        percent(row.from_light.as_f64()),
        row.range,
        ratio(row),
        stretch(row.stretch),
        edges(row.edge_loss),
    )
}

fn ratio(row: &RowNumbers) -> String {
    match lowest_terms(row.ratio.to_bits(), RATIO_UNITS) {
        (1, 1) => "RangeRatio::ONE".to_owned(),
        (above, below) => format!(
            "constant!(RangeRatio::from_ratio_nearest({}, {}))",
            number(above),
            number(below)
        ),
    }
}

fn edges(loss: i32) -> String {
    if loss == 0 {
        return "EdgeLoss::NONE".to_owned();
    }
    let (above, below) = lowest_terms(loss.unsigned_abs(), RowNumbers::EDGE_UNITS);
    let sign = if loss < 0 { "-" } else { "" };
    format!(
        "constant!(EdgeLoss::from_ratio({sign}{}, {}))",
        number(above),
        number(below)
    )
}

fn stretch(stretch: Stretch) -> &'static str {
    match stretch {
        Stretch::One => "One",
        Stretch::Two => "Two",
        Stretch::Four => "Four",
        Stretch::Eight => "Eight",
        Stretch::Sixteen => "Sixteen",
    }
}
