//! The control levels 1 to 254 of IEC 62386-102 and their two curves.

use super::{Curve, Exponential};
use crate::{Error, Level, Light};

/// A control level of IEC 62386-102 that asks for light.
///
/// *Units and range*: 1 to 254. 0 (off) and 255 (no change) are commands, not levels of light.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(transparent)]
pub struct ControlLevel(u8);

impl ControlLevel {
    /// The lowest.
    pub const LOWEST: Self = Self(1);
    /// Full light.
    pub const FULL: Self = Self(254);

    /// From the number on the bus.
    ///
    /// # Errors
    /// [`Error::ControlLevel`] for 0 and 255.
    pub const fn new(number: u8) -> Result<Self, Error> {
        match number {
            0 | 255 => Err(Error::ControlLevel),
            _ => Ok(Self(number)),
        }
    }

    /// The number on the bus, 1 to 254.
    pub const fn number(self) -> u8 {
        self.0
    }

    /// The lowest control level whose light is not below `lowest`: the physical minimum level of a luminaire
    /// whose lowest light that is; full at the most.
    ///
    /// *Source*: IEC 62386-207:2018, 9.3.3: the physical minimum output is the same on both curves (definition of
    /// the level from memory). *Cost*: that of [`ControlCurve::level`].
    #[must_use]
    pub const fn physical_minimum(curve: ControlCurve, lowest: Light) -> Self {
        match curve.level(lowest) {
            None => Self::LOWEST,
            Some(below) if below.0 == 254 || curve.light(below).to_bits() == lowest.to_bits() => {
                below
            }
            Some(below) => Self(below.0 + 1),
        }
    }
}

/// The dimming curve that a bus has chosen.
///
/// *Source*: IEC 62386-102 for the logarithmic curve (formula from memory; ends and step seen in a source), IEC
/// 62386-207 and -218 for the linear one (the scale 100 % / 254 from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ControlCurve {
    /// `10^((n - 1) / (253 / 3) - 1)` percent of full, within 1e-6 of it; it runs along
    /// [`Exponential::IEC_LOGARITHMIC`].
    Logarithmic,
    /// `n / 254` of full, within a unit of 2^-32.
    Linear,
}

impl ControlCurve {
    /// The light of a control level.
    #[must_use]
    pub const fn light(self, level: ControlLevel) -> Light {
        match self {
            Self::Logarithmic => Exponential::IEC_LOGARITHMIC.light(Self::logarithmic_level(level)),
            Self::Linear => {
                // 2^32 / 254 = 16 909 320.063; 258 / 4096 = 0.063.
                let n = level.0 as u32;
                Light::from_bits(n * 16_909_320 + ((n * 258) >> 12))
            }
        }
    }

    /// The highest control level whose light is not above `light`; none below the lowest.
    ///
    /// *Cost*: eight calls of [`ControlCurve::light`].
    #[must_use]
    pub const fn level(self, light: Light) -> Option<ControlLevel> {
        let mut number = 0;
        let mut bit = 1 << 7;
        while bit != 0 {
            let next = number | bit;
            let tried = ControlLevel(next);
            if next < 255 && self.light(tried).to_bits() <= light.to_bits() {
                number = next;
            }
            bit >>= 1;
        }
        match ControlLevel::new(number) {
            Ok(level) => Some(level),
            Err(_) => None,
        }
    }

    /// The Level at which the curve's continuous form stands for a control level: fades between control levels run
    /// over Levels. Exact for the logarithmic curve, the nearest Level for the linear one.
    #[must_use]
    pub const fn continuous(self, level: ControlLevel) -> (Curve, Level) {
        match self {
            Self::Logarithmic => (
                Curve::Exponential(Exponential::IEC_LOGARITHMIC),
                Self::logarithmic_level(level),
            ),
            // 65 535 / 254 = 258 + 3 / 254, and 774 / 65 536 is near enough to 3 / 254.
            Self::Linear => {
                let n = level.0 as u32;
                let nearest = 258 * n + ((774 * n + 32_768) >> 16);
                (Curve::Linear, Level::from_bits(nearest as u16))
            }
        }
    }

    /// The control level nearest to a Level of the curve's continuous form; none for off. The inverse of
    /// [`ControlCurve::continuous`].
    #[must_use]
    pub const fn nearest(self, level: Level) -> Option<ControlLevel> {
        let bits = level.to_bits() as u32;
        let number = match self {
            // Division by 259, exact for what 16 bits can ask: 259 x 64 777 = 2^24 + 27.
            Self::Logarithmic => ((bits + 251 + 129) * 64_777) >> 24,
            // Over 65 535 rather than 65 536.
            Self::Linear => (bits * 254 + ((bits * 254) >> 16) + 32_768) >> 16,
        };
        let number = if number > 254 { 254 } else { number };
        match (bits, number) {
            (0, _) => None,
            (_, 0) => Some(ControlLevel::LOWEST),
            _ => Some(ControlLevel(number as u8)),
        }
    }

    const fn logarithmic_level(level: ControlLevel) -> Level {
        Level::from_bits(259 * (level.0 as u16 - 1) + 8)
    }
}
