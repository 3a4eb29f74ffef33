//! `[board]`: how warm the LEDs' board is, what power it may take, and whether the firmware corrects its flux.

use super::key::{Key, key};
use super::table::Table;
use super::value::{Flag, Number, from_to};
use super::{Channel, Problem};
use crate::numbers::significant;

pub(super) const NAME: &str = "board";

const CELSIUS: Key<Number, f64> = key("celsius", from_to(-40.0, 150.0, "°C"), 25.0);
const POWER_CAP_W: Key<Number, f64> = key("power_cap_w", from_to(0.0, 100_000.0, "W"), 0.0);
const FLUX_CORRECTION: Key<Flag, bool> = key("flux_correction", Flag, false);

/// The board that carries the LEDs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Board {
    /// Its temperature in °C, -40 to 150. Default 25.
    pub celsius: f64,
    /// Largest electrical power in W; none where the file says none. Kept by the flux correction alone.
    pub power_cap_w: Option<f64>,
    /// Whether the firmware runs the flux correction. Default no.
    pub flux_correction: bool,
}

impl Default for Board {
    fn default() -> Self {
        read(&Table::empty(), &[]).expect("every key may be left out")
    }
}

pub(super) fn read(root: &Table<'_>, channels: &[Channel]) -> Result<Board, Problem> {
    let table = root.table(NAME)?.unwrap_or_else(Table::empty);
    table.only(&[CELSIUS.name, POWER_CAP_W.name, FLUX_CORRECTION.name])?;
    let power_cap_w = table.take(&POWER_CAP_W)?;
    let power: f64 = channels.iter().filter_map(|channel| channel.power_w).sum();
    // A hundredth is the core's limit.
    if power_cap_w > 0.0 && power_cap_w < power / 100.0 {
        let least = significant(power / 100.0, 3);
        return Err(Problem::new("`power_cap_w` is too low for the channels")
            .about(table.path_of(POWER_CAP_W.name))
            .at(table.span_of(&POWER_CAP_W))
            .allowed(format!(
                "0 (none), or {least} W or more, a hundredth of the channels' power"
            )));
    }
    Ok(Board {
        celsius: table.take(&CELSIUS)?,
        power_cap_w: Some(power_cap_w).filter(|&cap| cap > 0.0),
        flux_correction: table.take(&FLUX_CORRECTION)?,
    })
}
