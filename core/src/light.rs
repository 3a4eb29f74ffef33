//! The two scales of a dimmer: [`Light`], which is linear, and [`Level`], which the eye sees as even.

use fixed::types::U0F32;

use crate::{Error, fraction};

/// A fraction of full output, linear, with 32 fraction bits.
///
/// *Units and range*: 0 to 1 in units of 2^-32; **the largest value stands for 1**, so that full light is an
/// unbroken 1 in every modulator and full share x full light is full.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(from = "u32", into = "u32"))]
#[repr(transparent)]
pub struct Light(U0F32);

impl Light {
    /// No light.
    pub const BLACK: Self = Self(U0F32::MIN);
    /// Full light, which stands for 1.
    pub const FULL: Self = Self(U0F32::MAX);

    /// From units of 2^-32; `u32::MAX` is full.
    pub const fn from_bits(bits: u32) -> Self {
        Self(U0F32::from_bits(bits))
    }

    /// In units of 2^-32; `u32::MAX` is full.
    pub const fn to_bits(self) -> u32 {
        self.0.to_bits()
    }

    /// From a fixed-point fraction; its largest value is full.
    pub const fn from_fixed(fraction: U0F32) -> Self {
        Self(fraction)
    }

    /// As a fixed-point fraction; its largest value is full.
    pub const fn to_fixed(self) -> U0F32 {
        self.0
    }

    /// `numerator / denominator` of full, rounded to the nearest unit.
    ///
    /// # Errors
    /// [`Error::Ratio`] for a ratio above 1 or a zero denominator. Cost: one 64-bit division; for set-up.
    ///
    /// ```
    /// use milliglow::{Light, constant};
    /// const ONE_PERCENT: Light = constant!(Light::from_ratio_nearest(1, 100));
    /// assert_eq!(ONE_PERCENT.to_bits(), 42_949_673);
    /// ```
    pub const fn from_ratio_nearest(numerator: u32, denominator: u32) -> Result<Self, Error> {
        match fraction::from_ratio_nearest(numerator, denominator) {
            Ok(bits) => Ok(Self::from_bits(bits)),
            Err(error) => Err(error),
        }
    }

    /// As a float, 1.0 for full; for hosts and tests (soft float on small targets).
    pub const fn as_f64(self) -> f64 {
        fraction::as_f64(self.to_bits())
    }
}

/// A position on a dimming curve, perceived: equal steps look equal.
///
/// *Units and range*: 0 is off, 65 535 is full.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(transparent))]
#[repr(transparent)]
pub struct Level(u16);

impl Level {
    /// Off.
    pub const OFF: Self = Self(0);
    /// Full.
    pub const FULL: Self = Self(u16::MAX);

    /// From a position of 0 to 65 535.
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits)
    }

    /// The position, 0 to 65 535.
    pub const fn to_bits(self) -> u16 {
        self.0
    }
}

#[cfg(feature = "defmt")]
impl defmt::Format for Light {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "Light({=u32})", self.to_bits());
    }
}

impl From<u32> for Light {
    fn from(bits: u32) -> Self {
        Self::from_bits(bits)
    }
}

impl From<Light> for u32 {
    fn from(light: Light) -> Self {
        light.to_bits()
    }
}
