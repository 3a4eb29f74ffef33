//! What a luminaire is.

use crate::Light;
use crate::curve::Curve;
use crate::density::Modulation;
use crate::operating::Table;

/// What a luminaire is: may sit in flash.
///
/// ```
/// use milliglow::curve::{Curve, Exponential};
/// use milliglow::density::Modulation;
/// use milliglow::luminaire::{Configuration, Lowest};
/// use milliglow::{Light, constant};
///
/// const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
/// const TWO_WHITES: Configuration<2> = Configuration {
///     lowest: Lowest::Clamp(constant!(Light::from_ratio_nearest(1, 1_000))),
///     ..Configuration::new(CURVE, [Modulation::FirstOrder; 2], 1)
/// };
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Configuration<'t, const N: usize> {
    /// From Level to light.
    pub curve: Curve,
    /// From density to stream, a channel each.
    pub modulation: [Modulation; N],
    /// From channel light to range, stretch and density, a channel each; channels can share one.
    pub operating: [&'t Table; N],
    /// Whether channels have set points of their own.
    pub range_choice: RangeChoice,
    /// What happens at the bottom.
    pub lowest: Lowest,
    /// Seed of the dither, not 0.
    pub seed: u32,
}

impl<'t, const N: usize> Configuration<'t, N> {
    /// Ideal drivers of one range, a tick a decision, any light however low.
    pub const fn new(curve: Curve, modulation: [Modulation; N], seed: u32) -> Self {
        Self {
            curve,
            modulation,
            operating: [&Table::PLAIN; N],
            range_choice: RangeChoice::Own,
            lowest: Lowest::Any,
            seed,
        }
    }
}

/// Which channels change their range together.
///
/// Two set points a channel take one pin a channel, four take two, or a converter's output each; set points of the whole luminaire take one or two
/// pins in all, but hold every channel in the row of the highest.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum RangeChoice {
    /// Every channel is in the row of its own light.
    #[default]
    Own,
    /// Every channel is in the highest row that any needs. Their tables should differ in edges alone.
    Common,
}

/// What happens to light below the lowest; Level 0 is always off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Lowest {
    /// It is given as asked for.
    #[default]
    Any,
    /// It is lifted to this light.
    Clamp(Light),
    /// The luminaire goes off below a light, and on again `2^-hysteresis_shift` of it above.
    Off {
        /// The lowest light.
        below: Light,
        /// 1 to 31; others are taken as 31.
        hysteresis_shift: u8,
    },
}

impl Lowest {
    /// What is given for the light asked for.
    pub(super) const fn of(self, light: Light, was_lit: bool) -> Light {
        let bits = light.to_bits();
        match self {
            Self::Clamp(lowest) if bits > 0 && bits < lowest.to_bits() => lowest,
            Self::Off {
                below,
                hysteresis_shift,
            } => {
                let below = below.to_bits();
                let shift = if hysteresis_shift > 31 {
                    31
                } else {
                    hysteresis_shift
                };
                let above = if was_lit { 0 } else { below >> shift };
                if bits < below.saturating_add(above) {
                    Light::BLACK
                } else {
                    light
                }
            }
            _ => light,
        }
    }
}
