//! Flash and RAM of whole luminaires.

use std::error::Error;
use std::path::Path;

use milliglow_m0::ledger::Row;
use milliglow_m0::{Cost, Machine, Timing};

use crate::bench::image;

const CHANNELS: [u32; 5] = [1, 2, 5, 9, 16];

/// What channels hold where not anything: first order alone, and no operating tables either.
const KINDS: [&str; 2] = ["first_order", "plain"];

fn row(item: &str, opt_level: &str, flash: Option<u32>, ram: Option<f64>) -> Row {
    let mut row = Row {
        item: item.to_owned(),
        opt_level: opt_level.to_owned(),
        ..Row::default()
    };
    row.figures[5] = flash.map(f64::from);
    row.figures[7] = ram;
    row
}

/// The least firmwares and their RAM, and the RAM that each channel adds.
pub(crate) fn measure(firmwares: &Path, opt_level: &str) -> Result<Vec<Row>, Box<dyn Error>> {
    let flash = |name: &str| image(&firmwares.join(name)).map(|image| image.flash_bytes());
    let mut machine = Machine::new(&image(&firmwares.join("probe"))?, Timing::FAST)?;
    let mut ram = |channels: u32| {
        let cost = machine.call(&format!("size_of_{channels}"), &[]);
        cost.map(|cost| f64::from(cost.results[0]))
    };
    let empty = flash("empty")?;
    let mut rows = vec![row("firmware_empty", opt_level, Some(empty), None)];
    for channels in CHANNELS {
        let bytes = flash(&format!("luminaire_{channels}"))? - empty;
        let item = format!("firmware_{channels}");
        rows.push(row(&item, opt_level, Some(bytes), Some(ram(channels)?)));
    }
    let a_channel = (ram(16)? - ram(1)?) / 15.0;
    rows.push(row("ram_a_channel", opt_level, None, Some(a_channel)));
    for kind in KINDS {
        let mut called = |what: &str| machine.call(&format!("{what}_{kind}"), &[]);
        let [whole, a_channel] = ["size_of_5", "a_channel"].map(&mut called);
        let bytes = flash(&format!("luminaire_5_{kind}"))? - empty;
        let ram = |cost: Cost| Some(f64::from(cost.results[0]));
        let (firmware, channel) = (
            format!("firmware_5_{kind}"),
            format!("ram_a_channel_{kind}"),
        );
        rows.push(row(&firmware, opt_level, Some(bytes), ram(whole?)));
        rows.push(row(&channel, opt_level, None, ram(a_channel?)));
    }
    Ok(rows)
}
