//! From a density to a one-bit stream.
//!
//! Words hold 32 ticks, the earliest in the most significant bit. All modulators give an unbroken 1 at full density
//! and an unbroken 0 at none, and a change of density neither loses nor doubles charge: the sum of the ones equals the
//! sum of the densities within the stated bound at all times. A decision lasts one tick, or several: see [`Stretch`].
//!
//! First order has two profiles with the same stream: *small*, [`FirstOrder`] alone, and *fast*, with a [`Held`] beside it.
//!
//! | Profile | RAM a channel | cycles of a Cortex-M0 a tick, a density that stands | a density that changes in each buffer |
//! |---|---:|---:|---:|
//! | small | 8 | 2.8 | 2.8 |
//! | fast | 56, and the previous buffer | 0.1 to 1.0 | 2.9 |

mod dithered;
mod edge;
mod first_order;
mod flood;
mod held;
#[cfg(test)]
mod idle_lines;
mod modulator;
mod noise;
mod second_order;
#[cfg(target_pointer_width = "64")]
mod side_by_side;
mod stretch;
mod timer;

pub use dithered::{DitherWidth, Dithered};
pub use edge::{Decision, Edge};
pub use first_order::FirstOrder;
pub use held::Held;
pub use modulator::{Modulation, Modulator};
pub use noise::{Lfsr32, NoiseSource};
pub use second_order::{SecondOrder, Shaping};
pub use stretch::Stretch;
pub use timer::Timer;

use crate::Light;
pub(crate) use flood::flood;

/// Ones per tick.
///
/// *Units and range*: 0 to 1 in units of 2^-32; the largest value stands for 1, an unbroken 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(transparent))]
#[repr(transparent)]
pub struct Density(u32);

impl Density {
    /// No ones.
    pub const NONE: Self = Self(0);
    /// Nothing but ones.
    pub const FULL: Self = Self(u32::MAX);

    /// From units of 2^-32; `u32::MAX` is full.
    pub const fn from_bits(bits: u32) -> Self {
        Self(bits)
    }

    /// In units of 2^-32; `u32::MAX` is full.
    pub const fn to_bits(self) -> u32 {
        self.0
    }

    /// The density at which an ideal driver gives a channel light.
    pub const fn from_light(light: Light) -> Self {
        Self(light.to_bits())
    }

    /// In units of 2^-32, full exactly 2^32.
    pub(crate) const fn exact(self) -> i64 {
        if self.0 == u32::MAX {
            1 << 32
        } else {
            self.0 as i64
        }
    }

    /// As a float, 1.0 for full; for hosts and tests (soft float on small targets).
    pub const fn as_f64(self) -> f64 {
        crate::fraction::as_f64(self.0)
    }
}

/// Fills words, full and none apart; charge carried stays as it is there.
fn fill_words(density: Density, words: &mut [u32], mut next: impl FnMut() -> u32) {
    match density {
        Density::NONE => flood(words, 0),
        Density::FULL => flood(words, u32::MAX),
        _ => words.fill_with(&mut next),
    }
}

/// The charge, in units of 2^-32 pulses, from which the next tick would pulse, less a phase; none at full and none.
const fn waking_charge(density: Density, phase: u32) -> Option<u32> {
    match density {
        Density::NONE | Density::FULL => None,
        Density(bits) => Some(0u32.wrapping_sub(bits).saturating_sub(phase)),
    }
}
