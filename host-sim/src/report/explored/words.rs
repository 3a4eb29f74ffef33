//! The result of `explore` for a terminal.

use super::Searched;
use crate::description::Modulation;
use crate::explore::{Candidate, Design, Empty, Relaxation, Space, name};
use crate::numbers::{grouped, quantity, significant};
use crate::report::WIDTHS;
use crate::report::terminal::paragraph;

const HEADINGS: [&str; COLUMNS] = [
    "row",
    "ticks",
    "modulation and table",
    "edges",
    "cycles",
    "load",
    "margin",
];
const COLUMNS: usize = 7;
const TABLE: usize = 2;
/// In fewer columns tables of the rows stand on lines of their own.
const NARROW: usize = 76;

const LEGEND: &str = "ticks: tick rate. edges: rising and falling edges a second of all channels, at the light that has most. \
    cycles: a tick, of all channels, by the project's ledger of a Cortex-M0: of making the streams, and where the file has a \
    [chip] of all that it does for the light; load: those over the chip's clock; more than 100 % takes a faster chip. \
    margin: the worst figure over its limit. Averages, colour and fades are left to `check`.";

/// What was searched, the front row by row, or what stands in the way; in lines of `width` columns, taken into [`WIDTHS`].
#[must_use]
pub fn words(searched: &Searched, width: usize) -> String {
    let width = width.clamp(*WIDTHS.start(), *WIDTHS.end());
    let explored = &searched.explored;
    let mut text = paragraph(&space_words(&explored.space), "", width);
    text += &paragraph(
        &format!(
            "{} candidates, {} feasible; {} judged in full, {} of them failed",
            grouped(explored.space.candidates.len() as f64),
            grouped(explored.feasible as f64),
            explored.judged_in_full,
            explored.failed_in_full
        ),
        "",
        width,
    );
    text += "\n";
    match &explored.empty {
        Some(empty) => text + &empty_words(empty, explored.space.candidates.len(), width),
        None => text + &front_words(searched, width) + "\n" + &paragraph(LEGEND, "", width),
    }
}

fn space_words(space: &Space) -> String {
    let rates = &space.tick_rates;
    let assumed = if rates.is_stated {
        ""
    } else {
        " (assumed: the file has no [chip], and [explore] no chip_hz)"
    };
    let left_out = match space.ratios_left_out {
        0 => String::new(),
        count => format!("; {count} range ratios left out, beyond range_ratio_max of [hardware]"),
    };
    format!(
        "chip clock {}{assumed}; {} tick rates from {} to {}{left_out}",
        quantity(rates.chip_hz.into(), "Hz"),
        rates.rates_hz.len(),
        quantity(rates.rates_hz[0].into(), "Hz"),
        quantity(rates.rates_hz[rates.rates_hz.len() - 1].into(), "Hz"),
    )
}

fn front_words(searched: &Searched, width: usize) -> String {
    let explored = &searched.explored;
    let chip_hz = explored.space.tick_rates.chip_hz;
    let rows = explored
        .front
        .iter()
        .enumerate()
        .map(|(place, design)| cells(place, design, chip_hz));
    let rows: Vec<_> = std::iter::once(HEADINGS.map(str::to_owned))
        .chain(rows)
        .collect();
    let narrow = width < NARROW;
    let mut widths = [0; COLUMNS];
    for row in &rows {
        for (column, cell) in row.iter().enumerate() {
            widths[column] = widths[column].max(cell.chars().count());
        }
    }
    widths[TABLE] = if narrow {
        0
    } else {
        widths[TABLE].min(room(&widths, width))
    };
    rows.iter()
        .map(|row| line(row, &widths, narrow, width))
        .collect()
}

/// What the figures leave of a line for the table's cell.
fn room(widths: &[usize; COLUMNS], width: usize) -> usize {
    let figures: usize = widths.iter().sum::<usize>() - widths[TABLE];
    width
        .saturating_sub(figures + COLUMNS - 1)
        .max(HEADINGS[TABLE].len())
}

/// Figures stand to the right; what a cell has no room for goes on below.
fn line(row: &[String; COLUMNS], widths: &[usize; COLUMNS], narrow: bool, width: usize) -> String {
    let table = if narrow {
        Vec::new()
    } else {
        textwrap::wrap(&row[TABLE], widths[TABLE])
    };
    let mut text = String::new();
    for (column, (cell, &width)) in row.iter().zip(widths).enumerate() {
        let cell = if column == TABLE {
            table.first().map_or("", |part| part)
        } else {
            cell
        };
        text += &match column {
            TABLE if narrow => continue,
            TABLE => format!("{cell:<width$} "),
            _ => format!("{cell:>width$} "),
        };
    }
    let mut text = text.trim_end().to_owned() + "\n";
    let indent = " ".repeat(widths[0] + widths[1] + 2);
    for part in table.iter().skip(1) {
        text += &format!("{indent}{part}\n");
    }
    if narrow {
        text += &paragraph(&row[TABLE], "  ", width);
    }
    text
}

fn cells(place: usize, design: &Design, chip_hz: u32) -> [String; COLUMNS] {
    let load = 100.0 * design.chip_load(chip_hz);
    [
        (place + 1).to_string(),
        quantity(design.candidate.tick_hz.into(), "Hz"),
        design_words(&design.candidate),
        quantity(design.edges_hz, "Hz"),
        significant(design.cycles_a_tick, 3),
        format!("{load:.0} %"),
        significant(design.margin, 2),
    ]
}

/// Modulation, current range and stretch.
fn design_words(candidate: &Candidate) -> String {
    let mut words = modulation_words(candidate.modulation);
    if let Some(range) = candidate.lower_range {
        let (ratio, percent) = (
            significant(range.ratio, 4),
            significant(range.below_percent, 3),
        );
        words += &format!(", 1/{ratio} below {percent} %");
    }
    if let Some(stretched) = candidate.stretched {
        let percent = significant(stretched.from_percent, 3);
        words += &format!(", stretch {} from {percent} %", stretched.ticks);
    }
    if candidate.edge_factor != 1.0 {
        words += &format!(", edges x {}", significant(candidate.edge_factor, 3));
    }
    words
}

fn modulation_words(modulation: Modulation) -> String {
    let dither = |shift: Option<u8>| {
        shift.map_or(String::new(), |shift| {
            format!(", dither {}", 0.5_f64.powi(shift.into()))
        })
    };
    match modulation {
        Modulation::FirstOrder => "order 1".to_owned(),
        Modulation::SecondOrder => "order 2".to_owned(),
        Modulation::Dithered { width_shift } => "order 1".to_owned() + &dither(Some(width_shift)),
        Modulation::Timer {
            bits,
            order,
            width_shift,
        } => {
            format!("timer of {bits} bits, order {order}{}", dither(width_shift))
        }
    }
}

fn empty_words(empty: &Empty, candidates: usize, width: usize) -> String {
    let broken = empty
        .broken
        .iter()
        .map(|(id, count)| format!("{} {count}", name(id)));
    let broken: Vec<_> = broken.collect();
    let (id, count) = empty.obstacle;
    let mut text = paragraph(
        &format!(
            "nothing is feasible: {} stands in the way, which {count} of {candidates} candidates break",
            name(id)
        ),
        "",
        width,
    );
    text += &paragraph(&format!("broken by: {}", broken.join(", ")), "    ", width);
    if empty.relaxations.is_empty() {
        return text
            + &paragraph(
                "no single change was found that lets a design pass",
                "",
                width,
            );
    }
    text += "single changes that let a design pass, the cheapest first:\n";
    let changes = empty
        .relaxations
        .iter()
        .map(|relaxation| paragraph(&change_words(relaxation), "    ", width));
    text + &changes.collect::<String>()
}

fn change_words(relaxation: &Relaxation) -> String {
    let note = match relaxation.note {
        "" => String::new(),
        note => format!(" ({note})"),
    };
    format!(
        "{} from {} to {}{note}: {}, {}",
        relaxation.key,
        shown(relaxation.from),
        shown(relaxation.to),
        quantity(relaxation.design.tick_hz.into(), "Hz"),
        design_words(&relaxation.design)
    )
}

fn shown(value: f64) -> String {
    if value >= 1e4 {
        grouped(value)
    } else {
        significant(value, 4)
    }
}
