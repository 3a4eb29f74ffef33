//! Answers to those who ask.

use super::Gear;
use super::instruction::Query;
use crate::Level;
use crate::bus::{Colour, PRIMARIES};

/// Of colour control, IEC 62386-209 (from memory).
pub(super) const DEVICE_TYPE: u8 = 8;

/// Version 2.0 of the standard as major x 4 + minor (from memory).
const VERSION: u8 = 8;

const YES: u8 = 255;

impl Gear {
    pub(super) fn answer(&self, query: Query) -> Option<u8> {
        let settings = &self.settings;
        Some(match query {
            Query::Status => self.status(),
            Query::Present => YES,
            Query::LampFailed => return yes_if(self.lamp_failed),
            Query::LampOn => return yes_if(self.is_lit()),
            Query::Limited => return yes_if(self.limited),
            Query::ResetState => return yes_if(settings.is_reset()),
            Query::NoShortAddress => return yes_if(settings.short_address == super::MASK),
            Query::PowerCycled => return yes_if(self.power_cycled),
            Query::Version => VERSION,
            Query::Register(index) => *self.registers.get(usize::from(index))?,
            Query::DeviceType => DEVICE_TYPE,
            Query::PhysicalMinimum => settings.limits.physical_minimum,
            Query::Actual => self.actual(),
            Query::Maximum => settings.limits.maximum,
            Query::Minimum => settings.limits.minimum,
            Query::PowerOn => settings.power_on,
            Query::SystemFailure => settings.system_failure,
            Query::FadeTimeAndRate => settings.fade_time.code() << 4 | settings.fade_rate.code(),
            Query::ExtendedFadeTime => settings.extended.byte(),
            Query::Scene(index) => settings.scene(index).level,
            Query::LowGroups => settings.groups.to_be_bytes()[1],
            Query::HighGroups => settings.groups.to_be_bytes()[0],
        })
    }

    /// Bit 1 lamp failed, 2 lit, 3 limited, 4 fading, 5 reset state, 6 no short address, 7 power cycled (from memory).
    fn status(&self) -> u8 {
        let flags = [
            false,
            self.lamp_failed,
            self.is_lit(),
            self.limited,
            self.fade.remaining() != 0,
            self.settings.is_reset(),
            self.settings.short_address == super::MASK,
            self.power_cycled,
        ];
        let bits = flags.iter().enumerate();
        bits.fold(0, |status, (bit, &flag)| status | u8::from(flag) << bit)
    }

    /// Of colour (numbers and bits from memory): status, features, and the value that data register 0 asks for, its low byte
    /// into that register.
    pub(super) fn colour_query(&mut self, code: u8) -> Option<u8> {
        match code {
            0xF8 => Some(match self.colour {
                None => 0,
                Some(Colour::Chromaticity { .. }) => 1 << 4,
                Some(Colour::Mirek(_)) => 1 << 5,
                Some(Colour::Primaries(_)) => 1 << 6,
                Some(Colour::Rgbwaf(_)) => 1 << 7,
            }),
            0xF9 => Some(0b11 | (PRIMARIES as u8) << 2 | (PRIMARIES as u8) << 5),
            _ => {
                let [high, low] = self.colour_value()?.to_be_bytes();
                let [register, ..] = &mut self.registers;
                *register = low;
                Some(high)
            }
        }
    }

    /// 0 x, 1 y, 2 mirek, 3 to 8 primaries, 9 to 14 red to free colour; masked where the colour is of another kind.
    fn colour_value(&self) -> Option<u16> {
        let [wanted, ..] = self.registers;
        let place = |first: u8| usize::from(wanted.saturating_sub(first));
        let value = match (wanted, self.colour) {
            (0, Some(Colour::Chromaticity { x, .. })) => Some(x),
            (1, Some(Colour::Chromaticity { y, .. })) => Some(y),
            (2, Some(Colour::Mirek(mirek))) => Some(mirek),
            (3..=8, Some(Colour::Primaries(levels))) => levels.get(place(3)).copied(),
            (9..=14, Some(Colour::Rgbwaf(levels))) => {
                levels.get(place(9)).map(|&level| level.into())
            }
            (15.., _) => return None,
            _ => None,
        };
        Some(value.unwrap_or(u16::MAX))
    }

    fn is_lit(&self) -> bool {
        self.level() != Level::OFF && !self.lamp_failed
    }
}

const fn yes_if(condition: bool) -> Option<u8> {
    if condition { Some(YES) } else { None }
}
