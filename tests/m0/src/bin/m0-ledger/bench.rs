//! One item, measured with every timing.

use std::error::Error;
use std::path::Path;

use milliglow_m0::ledger::Row;
use milliglow_m0::{Cost, Fault, Image, Machine, Multiplier, Timing};

/// The timings, in the order of the ledger's columns.
const TIMINGS: [Timing; 4] = [
    Timing::FAST,
    Timing {
        multiplier: Multiplier::Slow,
        ..Timing::FAST
    },
    Timing {
        wait_states: 1,
        ..Timing::FAST
    },
    Timing {
        wait_states: 1,
        code_in_ram: true,
        ..Timing::FAST
    },
];

/// Reads a firmware.
pub(crate) fn image(firmware: &Path) -> Result<Image, Box<dyn Error>> {
    let in_file = |error: &dyn Error| format!("{}: {error}", firmware.display());
    let bytes = std::fs::read(firmware).map_err(|error| in_file(&error))?;
    Ok(Image::parse(&bytes).map_err(|error| in_file(&error))?)
}

/// The costliest of several calls.
pub(crate) fn worst(costs: impl IntoIterator<Item = Result<Cost, Fault>>) -> Result<Cost, Fault> {
    let mut worst = Cost::default();
    for cost in costs {
        let cost = cost?;
        let stack_bytes = cost.stack_bytes.max(worst.stack_bytes);
        if cost.cycles >= worst.cycles {
            worst = cost;
        }
        worst.stack_bytes = stack_bytes;
    }
    Ok(worst)
}

/// What makes an item run: sets up what it needs, then gives the cost of its costliest call.
pub(crate) type Item<'a> = dyn Fn(&mut Machine) -> Result<Cost, Fault> + 'a;

/// An item measured with every timing, in which `functions` are called; the figures of time are divided by `parts`.
pub(crate) fn row(
    image: &Image,
    (name, functions): (&str, &[&str]),
    opt_level: &str,
    parts: u32,
    item: &Item<'_>,
) -> Result<Row, Fault> {
    let mut row = Row {
        item: name.to_owned(),
        opt_level: opt_level.to_owned(),
        ..Row::default()
    };
    for (k, timing) in TIMINGS.into_iter().enumerate() {
        let mut machine = Machine::new(image, timing)?;
        let cost = item(&mut machine)?;
        row.figures[1 + k] = Some(cost.cycles as f64 / f64::from(parts));
        if k == 0 {
            row.figures[0] = Some(cost.instructions as f64 / f64::from(parts));
            row.figures[5] = Some(machine.flash_bytes(functions).into());
            row.figures[6] = Some(cost.stack_bytes.into());
        }
    }
    Ok(row)
}
