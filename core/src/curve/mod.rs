//! Dimming curves: from [`Level`], which the eye sees as even, to [`Light`], which is linear, and back.
//!
//! All are pure functions of a `Copy` configuration, strictly increasing, exact at both ends, without division, float or
//! panic, and safe to call from an interrupt.

mod control_level;
mod exponential;
mod lightness;
mod tail;

pub use control_level::{ControlCurve, ControlLevel};
pub use exponential::Exponential;

use crate::{Level, Light};

/// A dimming curve.
///
/// ```
/// use milliglow::curve::{Curve, Exponential};
/// use milliglow::{Level, Light, constant};
///
/// const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 0)));
/// assert_eq!(CURVE.light(Level::FULL), Light::FULL);
/// assert_eq!(CURVE.light(Level::from_bits(1)), constant!(Light::from_ratio_nearest(1, 1_000)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum Curve {
    /// Equal ratios of light: see [`Exponential`].
    Exponential(Exponential),
    /// CIE 1976 lightness, L* = 100 x Level / 65 535: a cube, and straight below L* = 8.
    ///
    /// *Error* (asserted over all Levels): at most 1.3e-9 of full light, and 5e-7 of the light above 0.05 %.
    /// *Source*: CIE 15, section 8.2.1; ISO/CIE 11664-4.
    Lightness,
    /// Light in proportion to Level, exact: even to a meter, not to the eye. The continuous form of the linear
    /// curve of IEC 62386.
    Linear,
}

impl Curve {
    /// The light of a Level.
    #[must_use]
    #[inline(always)]
    pub const fn light(&self, level: Level) -> Light {
        match self {
            Self::Exponential(exponential) => exponential.light(level),
            Self::Lightness => lightness::light(level),
            Self::Linear => Light::from_bits(level.to_bits() as u32 * 0x0001_0001),
        }
    }

    /// The highest Level whose light is not above `light`: the inverse, rounded down.
    ///
    /// `level(light(l)) == l` for every Level. *Cost*: sixteen calls of [`Curve::light`]; for set-up and commands.
    #[must_use]
    pub const fn level(&self, light: Light) -> Level {
        let mut level = 0;
        let mut bit = 1 << 15;
        while bit != 0 {
            if self.light(Level::from_bits(level | bit)).to_bits() <= light.to_bits() {
                level |= bit;
            }
            bit >>= 1;
        }
        Level::from_bits(level)
    }
}
