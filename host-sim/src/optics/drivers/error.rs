//! Why a driver cannot be.

use std::fmt;

use crate::numbers::{percent, quantity};

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
    /// An efficacy falls faster than the current rises: the light of a set point is not that of one current.
    LightFalls {
        /// Current of the knot below, over the full one.
        from: f64,
        /// Current of the knot above.
        to: f64,
    },
}

impl DriverError {
    /// What would be allowed instead.
    #[must_use]
    pub fn allowed(&self) -> String {
        match *self {
            Self::Figure { min, max, .. } => format!("{min:?} to {max:?}"),
            Self::RiseLongerThanPulse { .. } => "a pulse at least as long as the rise".to_owned(),
            Self::StringAboveSupply { supply_v, .. } => format!("below {supply_v} V"),
            Self::OffTimeBelowDelay { delay_s, .. } => {
                format!("at least {}", quantity(delay_s, "s"))
            }
            Self::LosesSetPoint { .. } => {
                "an off-time that takes more than the delay adds".to_owned()
            }
            Self::CapacitorWithoutResistance => "a resistance above 0, or no capacitor".to_owned(),
            Self::Knots => "1 knot or more, their currents rising".to_owned(),
            Self::LightFalls { .. } => {
                "an efficacy that falls less than the current rises".to_owned()
            }
        }
    }
}

impl fmt::Display for DriverError {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seconds = |value| quantity(value, "s");
        match *self {
            Self::Figure { name, value, .. } => {
                write!(to, "the {name} of {value:?} is not possible")
            }
            Self::RiseLongerThanPulse { rise_s, pulse_s } => {
                let (rise, pulse) = (seconds(rise_s), seconds(pulse_s));
                write!(
                    to,
                    "the current needs {rise} to rise, and a pulse lasts {pulse}"
                )
            }
            Self::StringAboveSupply { string_v, supply_v } => {
                write!(
                    to,
                    "the string takes {string_v} V of a supply of {supply_v} V"
                )
            }
            Self::OffTimeBelowDelay {
                off_time_s,
                delay_s,
            } => {
                let (off_time, delay) = (seconds(off_time_s), seconds(delay_s));
                write!(
                    to,
                    "the off-time of {off_time} is below the comparator delay of {delay}"
                )
            }
            Self::LosesSetPoint {
                overshoot_a,
                ripple_a,
            } => {
                let (more, less) = (quantity(overshoot_a, "A"), quantity(ripple_a, "A"));
                write!(
                    to,
                    "the comparator delay adds {more}, and the off-time takes only {less}"
                )
            }
            Self::CapacitorWithoutResistance => {
                write!(to, "an output capacitor needs a string with resistance")
            }
            Self::Knots => write!(to, "the table against current is empty or does not rise"),
            Self::LightFalls { from, to: above } => {
                let [from, above] = [from, above].map(percent);
                write!(
                    to,
                    "the light falls as the current rises from {from} to {above}"
                )
            }
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
