//! What a set point of a channel's driver is.

use crate::colour::Xy;
use crate::description::{Channel, OperatingRow};

/// A set point: its current, its light and its colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetPoint {
    /// Its current over the full one.
    pub current: f64,
    /// Light of an unbroken 1 over that at full current.
    pub light: f64,
    /// Chromaticity at its current.
    pub xy: Xy,
}

impl SetPoint {
    /// Of a row of a channel's operating table.
    #[must_use]
    pub fn of(channel: &Channel, row: &OperatingRow) -> Self {
        let full = Xy {
            x: channel.x,
            y: channel.y,
        };
        let Some(led) = &channel.over_current else {
            let current = row.current_ratio.unwrap_or(row.range_ratio).recip();
            return Self {
                current,
                light: current,
                xy: full,
            };
        };
        let (current, light) = match row.current_ratio {
            Some(ratio) => (ratio.recip(), led.light(ratio.recip())),
            None if row.range_ratio == 1.0 => (1.0, 1.0),
            None => {
                let light = row.range_ratio.recip();
                (led.current(light), light)
            }
        };
        Self {
            current,
            light,
            xy: led.xy(current),
        }
    }
}
