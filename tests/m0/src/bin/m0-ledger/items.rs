//! What is measured: whole luminaires first, then the functions that they are made of, then peers.

use std::error::Error;
use std::path::Path;

use milliglow_m0::ledger::Row;
use milliglow_m0::{Cost, Fault, Machine};

use crate::bench::{image, row};
use crate::fast;
use crate::functions;
use crate::luminaires::{self, Luminaire, TICKS};

/// Channels of the luminaires measured, the main ones first.
const CHANNELS: [u32; 5] = [1, 5, 9, 2, 16];

/// All rows of the firmwares in a folder.
pub(crate) fn measure(firmwares: &Path, opt_level: &str) -> Result<Vec<Row>, Box<dyn Error>> {
    let [probe, parts, fast, peers] =
        ["probe", "parts", "fast", "peers"].map(|name| image(&firmwares.join(name)));
    let (probe, parts, fast_ways, peers) = (probe?, parts?, fast?, peers?);
    let mut rows = Vec::new();
    for channels in CHANNELS {
        let name = format!("tick_{channels}");
        let functions = ["control", "fill"].map(|what| format!("{what}_{channels}"));
        let period = |machine: &mut Machine| luminaires::worst_period(machine, channels);
        let called = [functions[0].as_str(), &functions[1]];
        rows.push(row(&probe, (&name, &called), opt_level, TICKS, &period)?);
    }
    for (what, function, item) in whole_luminaires() {
        for channels in CHANNELS {
            let names = [what, function].map(|name| format!("{name}_{channels}"));
            let run = |machine: &mut Machine| item(machine, channels);
            rows.push(row(&probe, (&names[0], &[&names[1]]), opt_level, 1, &run)?);
        }
    }
    for (name, function, parts, item) in fast::measured() {
        rows.push(row(
            &fast_ways,
            (&name, &[&function]),
            opt_level,
            parts,
            &*item,
        )?);
    }
    for (image, items) in [
        (&probe, functions::other_curves()),
        (&parts, functions::ours()),
        (&peers, functions::of_peers()),
    ] {
        for (name, function, item) in items {
            rows.push(row(image, (name, &[&function]), opt_level, 1, &*item)?);
        }
    }
    Ok(rows)
}

/// The item's name, the function that it calls, and how.
type OfLuminaire = (
    &'static str,
    &'static str,
    fn(&mut Machine, u32) -> Result<Cost, Fault>,
);

fn whole_luminaires() -> [OfLuminaire; 6] {
    [
        ("control", "control", luminaires::worst_control),
        ("rows", "control", luminaires::worst_in_rows),
        ("row_change", "control", luminaires::worst_row_change),
        ("wake", "control", luminaires::worst_wake),
        ("retarget", "retarget", luminaires::worst_retarget),
        ("new", "new", |machine, channels| {
            Luminaire::new(machine, channels)?.set_up(machine)
        }),
    ]
}
