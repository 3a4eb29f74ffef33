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
    /// The recipes of a function of Level.
    Knots,
    /// The channels of a colour solver.
    Primaries,
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
            Self::Knots => "knots",
            Self::Primaries => "primaries",
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
            Self::Knots => "knots must be 1 to 16, their Levels rising",
            Self::Primaries => {
                "primaries must have y and flux above 0 and differ, three of them around an area"
            }
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
