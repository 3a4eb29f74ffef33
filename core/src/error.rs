//! Why a configuration was refused.

use core::fmt;

/// A configuration value that was refused: which one, and what is allowed.
///
/// Only configuration is ever refused; the signal path has no errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum Error {
    /// The depth of an exponential curve.
    Depth,
    /// The number of Levels in a curve's tail to black.
    TailLevels,
    /// A ratio with a zero denominator, or one above 1.
    Ratio,
    /// A control level of IEC 62386-102.
    ControlLevel,
    /// The width of a dither.
    DitherWidth,
    /// What a pseudo-random source starts from.
    Seed,
    /// Ticks a decision.
    Stretch,
    /// What a driver's edges take of a decision.
    Edge,
    /// The length of a tick.
    Tick,
    /// The light of the highest set point over that of a range.
    RangeRatio,
    /// The number of rows of an operating table.
    Rows,
    /// The lights from which on rows are in force.
    RowOrder,
    /// A row whose full light does not suffice.
    RowFull,
    /// The hysteresis of an operating table.
    Hysteresis,
    /// The bits of a timer.
    TimerBits,
    /// A table whose rows correct edges for another modulation.
    Correction,
    /// A modulation that this luminaire does not hold.
    Modulation,
    /// An operating table that this luminaire does not hold.
    Operating,
    /// Control steps a second.
    ControlRate,
    /// A slot of a packet, or what it means.
    Slot,
    /// The delay of a creeping slot.
    CreepTime,
    /// The time without packets after which data are lost.
    LossTime,
    /// The time of a control step, or what counts as a jump of the time base.
    ControlPeriod,
    /// The recipes of a function of Level.
    Knots,
    /// The recipes of a path.
    Path,
    /// The channels of a colour solver.
    Primaries,
    /// The knots of flux over junction temperature.
    FluxTable,
    /// A factor of flux.
    Factor,
    /// A temperature.
    Temperature,
    /// How a channel warms itself.
    Heating,
    /// The time from step to step of a flux correction.
    CorrectionPeriod,
    /// The cap on electrical power.
    PowerCap,
}

impl Error {
    /// The parameter that was refused.
    pub const fn parameter(self) -> &'static str {
        match self {
            Self::Depth => "depth",
            Self::TailLevels => "tail_levels",
            Self::Ratio => "ratio",
            Self::ControlLevel => "control level",
            Self::DitherWidth => "width_shift",
            Self::Seed => "seed",
            Self::Stretch => "stretch",
            Self::Edge => "edges",
            Self::Tick => "tick_ps",
            Self::RangeRatio => "range ratio",
            Self::Rows => "rows",
            Self::RowOrder => "from_light",
            Self::RowFull => "range ratio",
            Self::Hysteresis => "hysteresis_shift",
            Self::TimerBits => "bits",
            Self::Correction | Self::Operating => "operating",
            Self::Modulation => "modulation",
            Self::ControlRate => "control_hz",
            Self::Slot => "slot",
            Self::CreepTime => "creep_ms",
            Self::LossTime => "loss_ms",
            Self::ControlPeriod => "period",
            Self::Knots => "knots",
            Self::Path => "recipes",
            Self::Primaries => "primaries",
            Self::FluxTable => "knots",
            Self::Factor => "factor",
            Self::Temperature => "temperature",
            Self::Heating => "heating",
            Self::CorrectionPeriod => "period_ms",
            Self::PowerCap => "power cap",
        }
    }

    /// Parameter and allowed values in one sentence, also the text of a compile error in a `const`.
    pub const fn message(self) -> &'static str {
        match self {
            Self::Depth => "depth must be 10 to 100 000 (full light over lowest light)",
            Self::TailLevels => "tail_levels must be 0 to 4096",
            Self::Ratio => "ratio must be at most 1, with a denominator above 0",
            Self::ControlLevel => "control level must be 1 to 254",
            Self::DitherWidth => "width_shift must be 0 to 8 (a width of 2^-width_shift steps)",
            Self::Seed => "seed must not be 0",
            Self::Stretch => "stretch must be 1, 2, 4, 8 or 16 ticks a decision",
            Self::Edge => {
                "edges must take less than one decision, either way, and last no longer than one (rise, fall, delays; stretch x tick)"
            }
            Self::Tick => "tick_ps must be above 0",
            Self::RangeRatio => {
                "range ratio must be 1 to 1024 (full light of the channel over that of the range)"
            }
            Self::Rows => "an operating table must have 1 to 8 rows",
            Self::RowOrder => "from_light must be 0 in the first row and rise from row to row",
            Self::RowFull => {
                "a row's full light (1 / range ratio) must reach the from_light of the next row, and that of the last row 1"
            }
            Self::Hysteresis => {
                "hysteresis_shift must be 1 to 15 (2^-hysteresis_shift of from_light)"
            }
            Self::TimerBits => "bits must be 8 to 16 (a period of 2^bits ticks)",
            Self::Correction => {
                "rows that correct edges must be made for the modulation of the channel"
            }
            Self::Modulation => "modulation must be first order in a luminaire of first order",
            Self::Operating => "operating must be the plain table in a plain luminaire",
            Self::ControlRate => "control_hz must be 100 to 10 000",
            Self::Slot => "slot must be 1 to 512 with all its width, and coolest at most warmest",
            Self::CreepTime => "creep_ms must be 20 to 2 000",
            Self::LossTime => "loss_ms must be 1 000 or more: packets may be a second apart",
            Self::ControlPeriod => {
                "period must be at least 2, jump_steps at least 1, and their product below 2^31"
            }
            Self::Knots => "knots must be 1 to 16, their Levels rising",
            Self::Path => {
                "recipes of a path must be 1 to its K, after 1 control step or more each and at most 2^32 - 1 in all"
            }
            Self::Primaries => {
                "primaries must have y and flux above 0 and differ, three of them around an area"
            }
            Self::FluxTable => "knots must be 1 to 8, their temperatures rising by 0.5 K or more",
            Self::Factor => "factor must be 0.1 to 3 (flux over the nominal one)",
            Self::Temperature => {
                "temperature must be -60 to 350 degrees Celsius, that of a board -40 to 150"
            }
            Self::Heating => {
                "heating must be at most 10 kW, 1 000 K/W and together 200 K, with a time constant of 10 to 10 000 000 ms"
            }
            Self::CorrectionPeriod => "period_ms must be 100 to 10 000",
            Self::PowerCap => "power cap must be a hundredth or more of the power of all channels",
        }
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message())
    }
}

impl core::error::Error for Error {}

/// Takes the value out of a `Result<_, milliglow::Error>` while compiling: a refused value is a compile error.
///
/// ```
/// use milliglow::{constant, curve::Exponential};
/// static CURVE: Exponential = constant!(Exponential::new(1_000, 2_048));
/// ```
///
/// ```compile_fail
/// use milliglow::{constant, curve::Exponential};
/// static CURVE: Exponential = constant!(Exponential::new(5, 0)); // depth must be 10 to 100 000
/// ```
#[macro_export]
macro_rules! constant {
    ($result:expr) => {
        const {
            match $result {
                Ok(value) => value,
                Err(error) => panic!("{}", error.message()),
            }
        }
    };
}
