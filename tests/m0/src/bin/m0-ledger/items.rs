//! What is measured: whole luminaires first, then the functions that they are made of, then peers.

use std::error::Error;
use std::path::Path;

use milliglow_m0::ledger::Row;
use milliglow_m0::{Cost, Fault, Image, Machine};

use crate::bench::{Item, image, row};
use crate::fast;
use crate::functions;
use crate::luminaires::{self, Luminaire, TICKS};
use crate::seconds::{self, CHANNELS_OF_SECONDS, PERCENT};

/// Channels of the luminaires measured, the main ones first.
const CHANNELS: [u32; 5] = [1, 5, 9, 2, 16];

/// The rows of the firmwares in a folder whose items' names begin with `only`.
pub(crate) fn measure(
    firmwares: &Path,
    opt_level: &str,
    only: &str,
) -> Result<Vec<Row>, Box<dyn Error>> {
    let read = |name: &str| image(&firmwares.join(name));
    let (whole, probe, parts) = (read("whole")?, read("probe")?, read("parts")?);
    let (fast_ways, values, peers) = (read("fast")?, read("values")?, read("peers")?);
    let mut rows = Vec::new();
    if "cpu_dma".starts_with(only) {
        rows.extend(CHANNELS_OF_SECONDS.map(|channels| seconds::stalls(channels, opt_level)));
    }
    let mut add = |image: &Image, name: &str, called: &[&str], parts, item: &Item<'_>| {
        if name.starts_with(only) {
            rows.push(row(image, (name, called), opt_level, parts, item)?);
        }
        Ok::<_, Fault>(())
    };
    for (name, [control, fill], item) in seconds::measured() {
        add(&whole, &name, &[&control, &fill], PERCENT, &*item)?;
    }
    for channels in CHANNELS {
        let [control, fill] = ["control", "fill"].map(|what| format!("{what}_{channels}"));
        let period = |machine: &mut Machine| luminaires::worst_period(machine, channels);
        let name = format!("tick_{channels}");
        add(&probe, &name, &[&control, &fill], TICKS, &period)?;
    }
    for (what, function, item) in whole_luminaires() {
        for channels in CHANNELS {
            let [name, function] = [what, function].map(|name| format!("{name}_{channels}"));
            let run = |machine: &mut Machine| item(machine, channels);
            add(&probe, &name, &[&function], 1, &run)?;
        }
    }
    for (name, function, parts, item) in fast::measured() {
        add(&fast_ways, &name, &[&function], parts, &*item)?;
    }
    for (image, items) in [
        (&probe, functions::other_curves()),
        (&parts, functions::ours()),
        (&values, functions::of_values()),
        (&peers, functions::of_peers()),
    ] {
        for (name, function, item) in items {
            add(image, name, &[&function], 1, &*item)?;
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
