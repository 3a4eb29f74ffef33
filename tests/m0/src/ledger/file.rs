//! The ledger as a CSV file.

use core::fmt;
use std::path::Path;

use super::{FIGURES, Row};

const HEAD: &str = "\
# What the core costs on a Cortex-M0, by the counting interpreter in this folder; see DEVELOPERS.md. Not measured on silicon.
# Written by: bash tests/parts/ledger.sh --write
# One row a function and opt-level (LTO fat, codegen-units 1, panic abort). A call is counted from its first instruction to
# its return, arguments by reference in RAM; the costliest of its inputs is shown.
# cpu_PROFILE_N_L: percents of a Cortex-M0 at 48 MHz that a first-order luminaire of N channels takes in one emulated second at 3 MHz and
# 1 kHz, at L % of light, every interrupt (36 cycles for its entry, exit and call) counted: a double buffer of 128 words a half, shares of multiples of
# the golden ratio. dearest: of 61 lights in even steps of the curve, as they stand; fade: from full to 0.1 % in that second; stretched: in decisions as
# long as pulses come at 3 kHz. cpu_dma_N: the bus that transfers of 16 ticks a channel take, 4 cycles each (common practice), the most that a DMA stalls.
# tick_N: one tick of a whole luminaire of N channels, first order, 3 MHz tick and 1 kHz control rate (a control step and 94
# words a channel, over 3008 ticks). control_N: a control step while lit; rows_N: the same with an operating table of three rows,
# each channel staying in its row; row_change_N: all change it; wake_N: the one out of the dark. retarget_N: fade_to with
# Pace::new. new_N: set-up at run time. next_duty: 12 bits, changing densities.
# _inline: of sixteen values in a loop, a value, with its load and its store. fill_K: K words; stretch_S: in decisions of S ticks; booked: each edge takes an eighth. fade_*_16: 16 values. Densities of words and fills: see the name, else 0.1 %.
# held_K: a tick of `Held::fill` in a double buffer of K words a half, the mean over 1536 words of the dearest of nineteen standing
# densities; _dark: up to 2^-12, and full less that; _call: the costliest call; _change: the costliest of the first two calls of a density;
# _pays: words, not cycles, in whole buffers, from a change of density on after which the fast profile has taken less than the small one.
# port_N_sparse: a tick and channel of 1024 ticks on a port of N channels at 1/256 and below, middle: at a third and below; port_ticks_N:
# of 32 words a channel turned into ticks. fade_tick: a tick of the fills of an exponential fade from full to 0.1 %, one channel, in decisions as
# long as pulses come at 3 kHz, 94 words a control step, the density changing in each; fade_tick_held: by the fast profile.
# flash_bytes of a function: all functions that ran, whole, and the table bytes read. firmware_N: the least firmware with a
# luminaire of N channels, less an empty one; its ram_bytes are those of Luminaire<N>. ram_a_channel: ram_bytes alone.
# _first_order: of channels that hold first order alone, with operating tables; _plain: and without.
";

/// A ledger that cannot be used, with the place.
#[derive(Debug)]
pub struct FileError(String);

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl core::error::Error for FileError {}

/// Reads a ledger.
///
/// # Errors
/// Names file, line and what is wrong.
pub fn read(path: &Path) -> Result<Vec<Row>, FileError> {
    let at = |problem: &dyn fmt::Display| FileError(format!("{}: {problem}", path.display()));
    let mut builder = csv::ReaderBuilder::new();
    let mut reader = builder
        .comment(Some(b'#'))
        .from_path(path)
        .map_err(|error| at(&error))?;
    let rows = reader.records().map(|record| {
        let record = record.map_err(|error| at(&error))?;
        row(&record).ok_or_else(|| {
            let line = record.position().map_or(0, csv::Position::line);
            at(&format!(
                "line {line}: item, opt-level and {} figures expected",
                FIGURES.len()
            ))
        })
    });
    rows.collect()
}

fn row(record: &csv::StringRecord) -> Option<Row> {
    let mut figures = [None; FIGURES.len()];
    for (figure, text) in figures.iter_mut().zip(record.iter().skip(2)) {
        if !text.is_empty() {
            *figure = Some(text.parse().ok()?);
        }
    }
    Some(Row {
        item: record.get(0)?.to_owned(),
        opt_level: record.get(1)?.to_owned(),
        figures,
    })
}

/// Whole numbers as such, others with two decimals.
pub(super) fn number(figure: f64) -> String {
    if figure.fract() == 0.0 {
        format!("{figure:.0}")
    } else {
        format!("{figure:.2}")
    }
}

/// Rows as CSV, below their titles.
#[must_use]
pub fn lines(rows: &[Row]) -> String {
    let mut text = format!("item,opt_level,{}\n", FIGURES.join(","));
    for row in rows {
        let figures = row
            .figures
            .map(|figure| figure.map_or(String::new(), number));
        text += &format!("{},{},{}\n", row.item, row.opt_level, figures.join(","));
    }
    text
}

/// Writes a ledger.
///
/// # Errors
/// Of the file system.
pub fn write(path: &Path, compiler: &str, rows: &[Row]) -> Result<(), FileError> {
    let text = format!("{HEAD}# Compiler: {compiler}\n{}", lines(rows));
    std::fs::write(path, text).map_err(|error| FileError(format!("{}: {error}", path.display())))
}
