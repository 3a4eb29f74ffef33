//! A buck converter with peak-current control and fixed off-time, gated by the stream.

mod circuit;
mod cycle;
mod design;
mod locked;
mod memory;
mod plant;
mod search;

pub use design::{BuckDesign, MeanSpread};
pub(super) use memory::Memory;
pub(super) use plant::BuckPlant;

use super::DriverError;
use super::error::within;
use circuit::Circuit;

/// Figures of a buck converter and its LED string.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BuckFigures {
    /// Supply in V, above 0, at most 1 000.
    pub supply_v: f64,
    /// Voltage of the string at the set point in V, above 0, below the supply.
    pub string_v: f64,
    /// Dynamic resistance of the string in ohm, 0 to 1 000; its knee, `string_v - string_ohm x set_a`, is 0 V or above.
    pub string_ohm: f64,
    /// Drop of the freewheeling diode in V, 0 to 10.
    pub diode_v: f64,
    /// Inductance in H, 10 nH to 1 H.
    pub inductance_h: f64,
    /// Capacitor across the string in F, 0 (none) to 0.01.
    pub output_f: f64,
    /// Peak set point in A, 1 uA to 1 000 A.
    pub set_a: f64,
    /// Off-time in seconds, 1 ns to 0.1 s, at least the delay.
    pub off_time_s: f64,
    /// From the current at the set point to the open switch in seconds, 0 to 0.1 s.
    pub delay_s: f64,
}

/// A buck converter whose figures are possible.
///
/// The stream's 1 closes the switch at once; at the set point, and the delay later, it opens for the off-time, and so on;
/// the stream's 0 opens it, and the current runs down through the diode. The string takes its knee voltage and its
/// resistance times its current; a capacitor across it is discharged through it down to the knee, and stays there.
/// Switch and inductor have no resistance. The full current, to which all others are related, is the mean of an
/// unbroken 1. The supply is steady here: what it does reaches the light by [`Buck::line_sensitivity`].
///
/// *Source*: volt-second balance (e.g. Erickson and Maksimovic, Fundamentals of Power Electronics); with capacitor and
/// resistance a linear system of second order, solved in closed form from event to event.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Buck {
    figures: BuckFigures,
    design: BuckDesign,
    line_sensitivity: f64,
}

impl Buck {
    /// With these figures.
    ///
    /// # Errors
    /// [`DriverError`] for a figure out of range and for what cannot be: a string above the supply, an off-time below
    /// the delay, a delay that adds more current than the off-time takes, a capacitor across a string without resistance.
    pub fn new(figures: BuckFigures) -> Result<Self, DriverError> {
        check_ranges(&figures)?;
        check_together(&figures)?;
        check_overshoot(&figures)?;
        Ok(Self::possible(figures))
    }

    fn possible(figures: BuckFigures) -> Self {
        let design = design::of(&figures);
        Self {
            figures,
            design,
            line_sensitivity: line_sensitivity(&figures, design.mean_a),
        }
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> BuckFigures {
        self.figures
    }

    /// What it does while the stream is an unbroken 1, and at its edges.
    #[must_use]
    pub fn design(&self) -> BuckDesign {
        self.design
    }

    /// Relative change of the mean current over the relative change of the supply, by 0.1 % to either side.
    ///
    /// It comes from the delay alone where the string has no resistance: `delay x supply / (inductance x mean)`.
    #[must_use]
    pub fn line_sensitivity(&self) -> f64 {
        self.line_sensitivity
    }

    /// The same without its capacitor.
    pub(super) fn without_capacitor(&self) -> Self {
        Self::possible(BuckFigures {
            output_f: 0.0,
            ..self.figures
        })
    }
}

fn line_sensitivity(figures: &BuckFigures, mean_a: f64) -> f64 {
    let mean = |part: f64| {
        let supply_v = figures.supply_v * part;
        design::of(&BuckFigures {
            supply_v,
            ..*figures
        })
        .mean_a
    };
    let aside = 0.001_f64.min((1.0 - figures.string_v / figures.supply_v) / 2.0);
    (mean(1.0 + aside) - mean(1.0 - aside)) / (2.0 * aside * mean_a)
}

impl BuckFigures {
    fn circuit(&self) -> Circuit {
        Circuit {
            inductance_h: self.inductance_h,
            output_f: self.output_f,
            knee_v: self.string_v - self.string_ohm * self.set_a,
            ohm: self.string_ohm,
        }
    }
}

fn check_ranges(figures: &BuckFigures) -> Result<(), DriverError> {
    within("supply", figures.supply_v, f64::MIN_POSITIVE, 1e3)?;
    within("string voltage", figures.string_v, f64::MIN_POSITIVE, 1e3)?;
    within("diode drop", figures.diode_v, 0.0, 10.0)?;
    within("inductance", figures.inductance_h, 1e-8, 1.0)?;
    within("output capacitance", figures.output_f, 0.0, 0.01)?;
    within("peak set point", figures.set_a, 1e-6, 1e3)?;
    within("off-time", figures.off_time_s, 1e-9, 0.1)?;
    within("comparator delay", figures.delay_s, 0.0, 0.1)?;
    let most_ohm = (figures.string_v / figures.set_a).min(1e3);
    within("string resistance", figures.string_ohm, 0.0, most_ohm)?;
    Ok(())
}

fn check_together(figures: &BuckFigures) -> Result<(), DriverError> {
    if figures.string_v >= figures.supply_v {
        return Err(DriverError::StringAboveSupply {
            string_v: figures.string_v,
            supply_v: figures.supply_v,
        });
    }
    if figures.off_time_s < figures.delay_s {
        return Err(DriverError::OffTimeBelowDelay {
            off_time_s: figures.off_time_s,
            delay_s: figures.delay_s,
        });
    }
    if figures.output_f > 0.0 && figures.string_ohm == 0.0 {
        return Err(DriverError::CapacitorWithoutResistance);
    }
    Ok(())
}

/// What the delay adds is gone before the switch closes again.
fn check_overshoot(figures: &BuckFigures) -> Result<(), DriverError> {
    let circuit = Circuit {
        output_f: 0.0,
        ..figures.circuit()
    };
    let (peak_a, valley_a) = design::peak_and_valley(figures, &circuit);
    if valley_a > figures.set_a {
        return Err(DriverError::LosesSetPoint {
            overshoot_a: peak_a - figures.set_a,
            ripple_a: peak_a - valley_a,
        });
    }
    Ok(())
}
