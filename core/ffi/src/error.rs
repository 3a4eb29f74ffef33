//! What a function gives instead of 0.
#![expect(unsafe_code, reason = "a symbol is exported")]

use core::ffi::{CStr, c_char};

use milliglow::Error;

/// A pointer is NULL.
pub const MILLIGLOW_ERROR_NULL: i32 = -1;
/// The memory is smaller than the macro for it says.
pub const MILLIGLOW_ERROR_SIZE: i32 = -2;
/// The memory is not aligned to MILLIGLOW_ALIGNMENT.
pub const MILLIGLOW_ERROR_ALIGNMENT: i32 = -3;
/// Channels must be 1 to 16; 1 to 8 for port words of 8 bits.
pub const MILLIGLOW_ERROR_CHANNELS: i32 = -4;
/// The kind of a curve must be one of MILLIGLOW_CURVE_...
pub const MILLIGLOW_ERROR_CURVE: i32 = -5;
/// The kind of a modulation must be one of MILLIGLOW_MODULATION_..., and the order of a timer one of MILLIGLOW_ORDER_...
pub const MILLIGLOW_ERROR_MODULATION: i32 = -6;
/// The kind of a lowest light must be one of MILLIGLOW_LOWEST_...
pub const MILLIGLOW_ERROR_LOWEST: i32 = -7;
/// The range choice must be one of MILLIGLOW_RANGES_...
pub const MILLIGLOW_ERROR_RANGE_CHOICE: i32 = -8;
/// The settling must be one of MILLIGLOW_SETTLING_...
pub const MILLIGLOW_ERROR_SETTLING: i32 = -9;
/// Another value of a configuration is refused.
pub const MILLIGLOW_ERROR_OTHER: i32 = -10;
/// The depth of a curve must be 10 to 100 000.
pub const MILLIGLOW_ERROR_DEPTH: i32 = -16;
/// The tail of a curve must be 0 to 4 096 Levels.
pub const MILLIGLOW_ERROR_TAIL_LEVELS: i32 = -17;
/// A ratio must be at most 1, with a denominator above 0.
pub const MILLIGLOW_ERROR_RATIO: i32 = -18;
/// The shift of a dither must be 0 to 8.
pub const MILLIGLOW_ERROR_DITHER_WIDTH: i32 = -19;
/// A seed must not be 0.
pub const MILLIGLOW_ERROR_SEED: i32 = -20;
/// A decision must last 1, 2, 4, 8 or 16 ticks.
pub const MILLIGLOW_ERROR_STRETCH: i32 = -21;
/// Edges must take less than a decision, and last no longer than one.
pub const MILLIGLOW_ERROR_EDGE: i32 = -22;
/// A tick must be longer than 0 ps.
pub const MILLIGLOW_ERROR_TICK: i32 = -23;
/// A range ratio must be 1 to 1 024.
pub const MILLIGLOW_ERROR_RANGE_RATIO: i32 = -24;
/// A table must have 1 to 8 rows.
pub const MILLIGLOW_ERROR_ROWS: i32 = -25;
/// Rows must begin at light 0 and rise.
pub const MILLIGLOW_ERROR_ROW_ORDER: i32 = -26;
/// A row's full light must reach the next row, and the last row's full light.
pub const MILLIGLOW_ERROR_ROW_FULL: i32 = -27;
/// The shift of a table's hysteresis must be 1 to 15.
pub const MILLIGLOW_ERROR_HYSTERESIS: i32 = -28;
/// A timer must have 8 to 16 bits.
pub const MILLIGLOW_ERROR_TIMER_BITS: i32 = -29;
/// A channel's table must be made for the channel's modulation.
pub const MILLIGLOW_ERROR_CORRECTION: i32 = -30;
/// A recipe must have 1 to 16 knots, their Levels rising.
pub const MILLIGLOW_ERROR_KNOTS: i32 = -31;
/// A path must have 1 to 8 recipes, each with control steps.
pub const MILLIGLOW_ERROR_PATH: i32 = -32;
/// The knots of flux must be 1 to 8, their temperatures rising by half a degree or more.
pub const MILLIGLOW_ERROR_FLUX_TABLE: i32 = -33;
/// A factor of flux must be 0.1 to 3.
pub const MILLIGLOW_ERROR_FACTOR: i32 = -34;
/// A temperature must be -60 to 350 degrees Celsius, that of a board -40 to 150.
pub const MILLIGLOW_ERROR_TEMPERATURE: i32 = -35;
/// Heating must be at most 10 kW, 1 000 K/W and together 200 K, with a time constant of 10 to 10 000 000 ms.
pub const MILLIGLOW_ERROR_HEATING: i32 = -36;
/// The period of a flux correction must be 100 to 10 000 ms.
pub const MILLIGLOW_ERROR_CORRECTION_PERIOD: i32 = -37;
/// A power cap must be a hundredth or more of the power of all channels.
pub const MILLIGLOW_ERROR_POWER_CAP: i32 = -38;

/// The name of an error without its prefix, such as "DEPTH"; "NONE" for 0 and "UNKNOWN" for what is no error. Never NULL, and valid
/// for good. For any context.
#[unsafe(no_mangle)]
pub extern "C" fn milliglow_error_name(error: i32) -> *const c_char {
    name(error).as_ptr()
}

const fn name(error: i32) -> &'static CStr {
    match error {
        0 => c"NONE",
        MILLIGLOW_ERROR_NULL => c"NULL",
        MILLIGLOW_ERROR_SIZE => c"SIZE",
        MILLIGLOW_ERROR_ALIGNMENT => c"ALIGNMENT",
        MILLIGLOW_ERROR_CHANNELS => c"CHANNELS",
        MILLIGLOW_ERROR_CURVE => c"CURVE",
        MILLIGLOW_ERROR_MODULATION => c"MODULATION",
        MILLIGLOW_ERROR_LOWEST => c"LOWEST",
        MILLIGLOW_ERROR_RANGE_CHOICE => c"RANGE_CHOICE",
        MILLIGLOW_ERROR_SETTLING => c"SETTLING",
        MILLIGLOW_ERROR_OTHER => c"OTHER",
        MILLIGLOW_ERROR_DEPTH => c"DEPTH",
        MILLIGLOW_ERROR_TAIL_LEVELS => c"TAIL_LEVELS",
        MILLIGLOW_ERROR_RATIO => c"RATIO",
        MILLIGLOW_ERROR_DITHER_WIDTH => c"DITHER_WIDTH",
        MILLIGLOW_ERROR_SEED => c"SEED",
        MILLIGLOW_ERROR_STRETCH => c"STRETCH",
        MILLIGLOW_ERROR_EDGE => c"EDGE",
        MILLIGLOW_ERROR_TICK => c"TICK",
        MILLIGLOW_ERROR_RANGE_RATIO => c"RANGE_RATIO",
        MILLIGLOW_ERROR_ROWS => c"ROWS",
        MILLIGLOW_ERROR_ROW_ORDER => c"ROW_ORDER",
        MILLIGLOW_ERROR_ROW_FULL => c"ROW_FULL",
        MILLIGLOW_ERROR_HYSTERESIS => c"HYSTERESIS",
        MILLIGLOW_ERROR_TIMER_BITS => c"TIMER_BITS",
        MILLIGLOW_ERROR_CORRECTION => c"CORRECTION",
        MILLIGLOW_ERROR_KNOTS => c"KNOTS",
        MILLIGLOW_ERROR_PATH => c"PATH",
        MILLIGLOW_ERROR_FLUX_TABLE => c"FLUX_TABLE",
        MILLIGLOW_ERROR_FACTOR => c"FACTOR",
        MILLIGLOW_ERROR_TEMPERATURE => c"TEMPERATURE",
        MILLIGLOW_ERROR_HEATING => c"HEATING",
        MILLIGLOW_ERROR_CORRECTION_PERIOD => c"CORRECTION_PERIOD",
        MILLIGLOW_ERROR_POWER_CAP => c"POWER_CAP",
        _ => c"UNKNOWN",
    }
}

pub(crate) const fn code(error: Error) -> i32 {
    match error {
        Error::Depth => MILLIGLOW_ERROR_DEPTH,
        Error::TailLevels => MILLIGLOW_ERROR_TAIL_LEVELS,
        Error::Ratio => MILLIGLOW_ERROR_RATIO,
        Error::DitherWidth => MILLIGLOW_ERROR_DITHER_WIDTH,
        Error::Seed => MILLIGLOW_ERROR_SEED,
        Error::Stretch => MILLIGLOW_ERROR_STRETCH,
        Error::Edge => MILLIGLOW_ERROR_EDGE,
        Error::Tick => MILLIGLOW_ERROR_TICK,
        Error::RangeRatio => MILLIGLOW_ERROR_RANGE_RATIO,
        Error::Rows => MILLIGLOW_ERROR_ROWS,
        Error::RowOrder => MILLIGLOW_ERROR_ROW_ORDER,
        Error::RowFull => MILLIGLOW_ERROR_ROW_FULL,
        Error::Hysteresis => MILLIGLOW_ERROR_HYSTERESIS,
        Error::TimerBits => MILLIGLOW_ERROR_TIMER_BITS,
        Error::Correction => MILLIGLOW_ERROR_CORRECTION,
        Error::Knots => MILLIGLOW_ERROR_KNOTS,
        Error::Path => MILLIGLOW_ERROR_PATH,
        Error::FluxTable => MILLIGLOW_ERROR_FLUX_TABLE,
        Error::Factor => MILLIGLOW_ERROR_FACTOR,
        Error::Temperature => MILLIGLOW_ERROR_TEMPERATURE,
        Error::Heating => MILLIGLOW_ERROR_HEATING,
        Error::CorrectionPeriod => MILLIGLOW_ERROR_CORRECTION_PERIOD,
        Error::PowerCap => MILLIGLOW_ERROR_POWER_CAP,
        _ => MILLIGLOW_ERROR_OTHER,
    }
}

/// 0, or the error.
pub(crate) fn status(result: Result<(), i32>) -> i32 {
    result.err().unwrap_or(0)
}
