//! Why a driver cannot be.

use std::fmt;

/// A driver that cannot be, or cannot be gated by this stream.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum DriverError {
    /// A figure is not finite, or outside what is allowed.
    Figure {
        /// Name of the figure.
        name: &'static str,
        /// What was given.
        value: f64,
        /// Lowest value.
        min: f64,
        /// Highest value.
        max: f64,
    },
    /// A rise lasts longer than a decision of the stream: no pulse reaches the full current.
    RiseLongerThanPulse {
        /// Turn-on delay less turn-off delay, and the rise, in seconds.
        rise_s: f64,
        /// Ticks of a decision, in seconds.
        pulse_s: f64,
    },
    /// A buck's string needs more voltage than the supply has.
    StringAboveSupply {
        /// Voltage of the string at the set point.
        string_v: f64,
        /// Voltage of the supply.
        supply_v: f64,
    },
    /// A buck's switch opens later than it should close again.
    OffTimeBelowDelay {
        /// Off-time in seconds.
        off_time_s: f64,
        /// Delay of comparator and switch in seconds.
        delay_s: f64,
    },
    /// A buck's current rises further during the delay than it falls during the off-time: it leaves the set point.
    LosesSetPoint {
        /// What the delay adds, in A.
        overshoot_a: f64,
        /// What the off-time takes, in A.
        ripple_a: f64,
    },
    /// A buck's output capacitor lies across a string without resistance: its current is not defined.
    CapacitorWithoutResistance,
    /// A table of figures against current is empty, or its currents do not rise.
    Knots,
}

impl fmt::Display for DriverError {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Figure {
                name,
                value,
                min,
                max,
            } => write!(to, "`{name}` is {value}; allowed: {min} to {max}"),
            Self::RiseLongerThanPulse { rise_s, pulse_s } => write!(
                to,
                "the current needs {rise_s:e} s to rise and a pulse lasts {pulse_s:e} s; allowed: a pulse at least as long"
            ),
            Self::StringAboveSupply { string_v, supply_v } => write!(
                to,
                "the string takes {string_v} V of a supply of {supply_v} V; allowed: less than the supply has"
            ),
            Self::OffTimeBelowDelay {
                off_time_s,
                delay_s,
            } => write!(
                to,
                "the off-time of {off_time_s:e} s is below the comparator delay of {delay_s:e} s; allowed: at least the delay"
            ),
            Self::LosesSetPoint {
                overshoot_a,
                ripple_a,
            } => write!(
                to,
                "the delay adds {overshoot_a} A and the off-time takes only {ripple_a} A; allowed: an off-time that takes more"
            ),
            Self::CapacitorWithoutResistance => write!(
                to,
                "an output capacitor needs a string with resistance; allowed: a resistance above 0, or no capacitor"
            ),
            Self::Knots => write!(
                to,
                "a table against current needs at least one knot; allowed: currents that rise from knot to knot"
            ),
        }
    }
}

impl std::error::Error for DriverError {}

/// Passes a figure that lies within its range.
pub(super) fn within(
    name: &'static str,
    value: f64,
    min: f64,
    max: f64,
) -> Result<f64, DriverError> {
    if (min..=max).contains(&value) {
        Ok(value)
    } else {
        Err(DriverError::Figure {
            name,
            value,
            min,
            max,
        })
    }
}

/// Passes a duration of 0 to 1 s.
pub(super) fn duration(name: &'static str, seconds: f64) -> Result<f64, DriverError> {
    within(name, seconds, 0.0, 1.0)
}
