//! What a luminaire is, as C writes it down.

use milliglow::Light;
use milliglow::curve::{Curve, Exponential};
use milliglow::density::DitherWidth;
use milliglow::luminaire as core_luminaire;
use milliglow::requantise::{Order, TimerPwm};

use crate::error::{
    MILLIGLOW_ERROR_CURVE, MILLIGLOW_ERROR_LOWEST, MILLIGLOW_ERROR_MODULATION,
    MILLIGLOW_ERROR_RANGE_CHOICE, code,
};
use crate::table::Table;

/// The most channels of a luminaire.
pub const MILLIGLOW_CHANNELS: usize = 16;

/// Equal ratios of light, with a depth and a tail to black.
pub const MILLIGLOW_CURVE_EXPONENTIAL: u8 = 0;
/// CIE 1976 lightness; depth and tail are ignored.
pub const MILLIGLOW_CURVE_LIGHTNESS: u8 = 1;
/// Light in proportion to Level; depth and tail are ignored.
pub const MILLIGLOW_CURVE_LINEAR: u8 = 2;

/// A dimming curve.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct CurveSetting {
    /// Full light over lowest light, 10 to 100 000.
    pub depth: u32,
    /// Levels of the tail to black, 0 (none) to 4 096.
    pub tail_levels: u16,
    /// MILLIGLOW_CURVE_...
    pub kind: u8,
}

impl CurveSetting {
    fn made(self) -> Result<Curve, i32> {
        match self.kind {
            MILLIGLOW_CURVE_EXPONENTIAL => Exponential::new(self.depth, self.tail_levels)
                .map(Curve::Exponential)
                .map_err(code),
            MILLIGLOW_CURVE_LIGHTNESS => Ok(Curve::Lightness),
            MILLIGLOW_CURVE_LINEAR => Ok(Curve::Linear),
            _ => Err(MILLIGLOW_ERROR_CURVE),
        }
    }
}

/// First order: the default.
pub const MILLIGLOW_MODULATION_FIRST_ORDER: u8 = 0;
/// First order with dither.
pub const MILLIGLOW_MODULATION_DITHERED: u8 = 1;
/// Second order.
pub const MILLIGLOW_MODULATION_SECOND_ORDER: u8 = 2;
/// Words that are a timer's PWM.
pub const MILLIGLOW_MODULATION_TIMER: u8 = 3;

/// Duties to the nearest step.
pub const MILLIGLOW_ORDER_ROUNDING: u8 = 0;
/// The error of a period goes into the next.
pub const MILLIGLOW_ORDER_FIRST: u8 = 1;
/// Its sum goes along.
pub const MILLIGLOW_ORDER_SECOND: u8 = 2;
/// A timer without dither.
pub const MILLIGLOW_NO_DITHER: u8 = 255;

/// How the density of a channel becomes a stream.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct Modulation {
    /// MILLIGLOW_MODULATION_...
    pub kind: u8,
    /// A dither of 2^-dither_shift steps, 0 to 8; for a timer also MILLIGLOW_NO_DITHER. Ignored without dither.
    pub dither_shift: u8,
    /// Bits of a timer, 8 to 16; ignored for other kinds.
    pub timer_bits: u8,
    /// MILLIGLOW_ORDER_... of a timer; ignored for other kinds.
    pub timer_order: u8,
}

impl Modulation {
    pub(crate) fn made(self) -> Result<milliglow::density::Modulation, i32> {
        use milliglow::density::Modulation as Made;
        let dither = || DitherWidth::new(self.dither_shift).map_err(code);
        match self.kind {
            MILLIGLOW_MODULATION_FIRST_ORDER => Ok(Made::FirstOrder),
            MILLIGLOW_MODULATION_DITHERED => dither().map(Made::Dithered),
            MILLIGLOW_MODULATION_SECOND_ORDER => Ok(Made::SecondOrder),
            MILLIGLOW_MODULATION_TIMER => {
                let dither = match self.dither_shift {
                    MILLIGLOW_NO_DITHER => None,
                    _ => Some(dither()?),
                };
                TimerPwm::new(self.timer_bits, self.order()?, dither)
                    .map(Made::Timer)
                    .map_err(code)
            }
            _ => Err(MILLIGLOW_ERROR_MODULATION),
        }
    }

    fn order(self) -> Result<Order, i32> {
        match self.timer_order {
            MILLIGLOW_ORDER_ROUNDING => Ok(Order::Rounding),
            MILLIGLOW_ORDER_FIRST => Ok(Order::First),
            MILLIGLOW_ORDER_SECOND => Ok(Order::Second),
            _ => Err(MILLIGLOW_ERROR_MODULATION),
        }
    }
}

/// Any light is given as asked for.
pub const MILLIGLOW_LOWEST_ANY: u8 = 0;
/// Light below the lowest is lifted to it; Level 0 is off.
pub const MILLIGLOW_LOWEST_CLAMP: u8 = 1;
/// The luminaire goes off below the lowest light, and on again 2^-hysteresis_shift of it above.
pub const MILLIGLOW_LOWEST_OFF: u8 = 2;

/// What happens at the bottom.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct Lowest {
    /// The lowest light in units of 2^-32.
    pub light: u32,
    /// MILLIGLOW_LOWEST_...
    pub kind: u8,
    /// 1 to 31, for MILLIGLOW_LOWEST_OFF.
    pub hysteresis_shift: u8,
}

impl Lowest {
    fn made(self) -> Result<core_luminaire::Lowest, i32> {
        use core_luminaire::Lowest as Made;
        let light = Light::from_bits(self.light);
        match self.kind {
            MILLIGLOW_LOWEST_ANY => Ok(Made::Any),
            MILLIGLOW_LOWEST_CLAMP => Ok(Made::Clamp(light)),
            MILLIGLOW_LOWEST_OFF => Ok(Made::Off {
                below: light,
                hysteresis_shift: self.hysteresis_shift,
            }),
            _ => Err(MILLIGLOW_ERROR_LOWEST),
        }
    }
}

/// Every channel is in the row of its own light.
pub const MILLIGLOW_RANGES_OWN: u8 = 0;
/// Every channel is in the highest row that any needs.
pub const MILLIGLOW_RANGES_COMMON: u8 = 1;

/// What a luminaire is: may lie in flash.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct Configuration {
    /// From Level to light.
    pub curve: CurveSetting,
    /// What happens at the bottom.
    pub lowest: Lowest,
    /// Seed of the dither, not 0.
    pub seed: u32,
    /// 1 to 16.
    pub channels: u8,
    /// MILLIGLOW_RANGES_...
    pub range_choice: u8,
    /// From density to stream, a channel each.
    pub modulation: [Modulation; MILLIGLOW_CHANNELS],
    /// From channel light to range, stretch and density, a channel each: tables of milliglow_table_init, which channels may share and
    /// which must outlive the luminaire, unchanged; NULL for an ideal driver of one range.
    pub tables: [*const Table; MILLIGLOW_CHANNELS],
}

impl Configuration {
    /// The core's configuration but for modulation and tables.
    pub(crate) fn made(
        &self,
    ) -> Result<core_luminaire::Configuration<'static, MILLIGLOW_CHANNELS>, i32> {
        let modulation = [milliglow::density::Modulation::FirstOrder; MILLIGLOW_CHANNELS];
        let mut made =
            core_luminaire::Configuration::new(self.curve.made()?, modulation, self.seed);
        made.lowest = self.lowest.made()?;
        made.range_choice = match self.range_choice {
            MILLIGLOW_RANGES_OWN => core_luminaire::RangeChoice::Own,
            MILLIGLOW_RANGES_COMMON => core_luminaire::RangeChoice::Common,
            _ => return Err(MILLIGLOW_ERROR_RANGE_CHOICE),
        };
        Ok(made)
    }
}
