//! A colour as relative channel shares.

use crate::{Error, Light, fraction};

/// A channel's part in a colour.
///
/// *Units and range*: 0 to 1 in units of 2^-32; the largest value stands for 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(transparent))]
#[repr(transparent)]
pub struct Share(u32);

impl Share {
    /// No part.
    pub const NONE: Self = Self(0);
    /// The whole of the channel, which stands for 1.
    pub const FULL: Self = Self(u32::MAX);

    /// From units of 2^-32; `u32::MAX` is full.
    pub const fn from_bits(bits: u32) -> Self {
        Self(bits)
    }

    /// In units of 2^-32; `u32::MAX` is full.
    pub const fn to_bits(self) -> u32 {
        self.0
    }

    /// `numerator / denominator`, rounded to the nearest unit.
    ///
    /// # Errors
    /// [`Error::Ratio`] for a ratio above 1 or a zero denominator. Cost: one 64-bit division; for set-up.
    pub const fn from_ratio_nearest(numerator: u32, denominator: u32) -> Result<Self, Error> {
        match fraction::from_ratio_nearest(numerator, denominator) {
            Ok(bits) => Ok(Self(bits)),
            Err(error) => Err(error),
        }
    }

    /// Channel light: this share of `light`.
    ///
    /// *Rounding*: within 2 units of 2^-32 of the exact product, so relative 5e-7 at 0.1 % light and 1e-5 for a
    /// 5 % share of it; exact when share or light is 0 or full; never falls when share or light rises.
    #[must_use]
    pub const fn of(self, light: Light) -> Light {
        Light::from_bits(fraction::product(self.0, light.to_bits()))
    }

    /// As a float, 1.0 for full; for hosts and tests (soft float on small targets).
    pub const fn as_f64(self) -> f64 {
        fraction::as_f64(self.0)
    }
}

/// The shares of all channels: a colour that holds while the light changes.
///
/// ```
/// use milliglow::{Light, Recipe, Share, constant};
/// const HALF: Share = constant!(Share::from_ratio_nearest(1, 2));
/// static WARM: Recipe<2> = Recipe::new([Share::FULL, HALF]);
/// assert_eq!(WARM.lights(Light::FULL)[0], Light::FULL);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(transparent)]
pub struct Recipe<const N: usize>([Share; N]);

impl<const N: usize> Recipe<N> {
    /// From one share a channel, in channel order.
    pub const fn new(shares: [Share; N]) -> Self {
        Self(shares)
    }

    /// The shares, in channel order.
    pub const fn shares(&self) -> &[Share; N] {
        &self.0
    }

    /// The shares in units of 2^-32.
    pub(crate) const fn to_bits(self) -> [u32; N] {
        let mut bits = [0; N];
        let mut k = 0;
        while k < N {
            bits[k] = self.0[k].to_bits();
            k += 1;
        }
        bits
    }

    /// The light of each channel: [`Share::of`] for all.
    #[must_use]
    pub fn lights(&self, light: Light) -> [Light; N] {
        self.0.map(|share| share.of(light))
    }
}

#[cfg(feature = "serde")]
mod as_tuple {
    //! A recipe is a tuple of N shares: serde derives nothing for arrays of any length.

    use core::fmt;

    use serde::de::{Error, SeqAccess, Visitor};
    use serde::ser::SerializeTuple;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    use super::{Recipe, Share};

    impl<const N: usize> Serialize for Recipe<N> {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            let mut tuple = serializer.serialize_tuple(N)?;
            for share in &self.0 {
                tuple.serialize_element(share)?;
            }
            tuple.end()
        }
    }

    struct Shares<const N: usize>;

    impl<'de, const N: usize> Visitor<'de> for Shares<N> {
        type Value = Recipe<N>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            write!(f, "{N} shares")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut sequence: A) -> Result<Self::Value, A::Error> {
            let mut shares = [Share::NONE; N];
            for (index, share) in shares.iter_mut().enumerate() {
                let next = sequence.next_element()?;
                *share = next.ok_or_else(|| A::Error::invalid_length(index, &self))?;
            }
            Ok(Recipe(shares))
        }
    }

    impl<'de, const N: usize> Deserialize<'de> for Recipe<N> {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            deserializer.deserialize_tuple(N, Shares)
        }
    }
}
