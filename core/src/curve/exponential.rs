//! Exponential dimming: equal steps of Level are equal ratios of light.

use super::tail::Tail;
use crate::{Error, Level, Light};

/// Fraction bits of the base-2 logarithm of `1 / light`.
const LOG_BITS: u32 = 27;
/// The table cuts an octave into 2^5 parts, so that a square fits the rest of a part within 5e-8.
const INDEX_BITS: u32 = 5;
/// Bits below the index.
const REST_BITS: u32 = LOG_BITS - INDEX_BITS;
/// Fraction bits of the drop within a part of an octave; 2^21 times the largest drop is just within 16 bits.
const DROP_BITS: u32 = 21;

/// Light that falls by equal ratios from full down to `1 / depth`.
///
/// Level `tail_levels` (1 without a tail) gives `1 / depth`, Level 65 535 gives full; between them the light is
/// `depth ^ -((65 535 - Level) / (65 535 - tail_levels))`. Below, the tail runs to black, joined in value and
/// slope; without one, Level 0 is black and Level 1 is `1 / depth`.
///
/// *Error* (asserted over all Levels): at most 1e-6 of the light at a depth of 1 000, 2.5e-6 at 10 000, where a unit of
/// 2^-32 is itself 2.3e-6 of the lowest light, and 1.3e-5 at 100 000. Strictly increasing; both ends exact.
/// *Cost*: a table of 128 bytes shared by all depths; six 16-bit products, no division.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Exponential {
    /// log2(depth) / span in units of 2^-43.
    octaves_a_level: u32,
    tail: Tail,
}

impl Exponential {
    /// The continuous form of the logarithmic curve of IEC 62386-102: a depth of 1 000, and a tail just long enough
    /// that the control levels 1 to 254 fall exactly on Levels (Level = 259 x control level - 251).
    pub const IEC_LOGARITHMIC: Self = crate::constant!(Self::new(1_000, 8));

    /// An exponential curve of a depth (full light over lowest light) of 10 to 100 000, with a tail over the lowest
    /// 0 (none) to 4096 Levels.
    ///
    /// # Errors
    /// [`Error::Depth`] and [`Error::TailLevels`] outside these ranges.
    pub const fn new(depth: u32, tail_levels: u16) -> Result<Self, Error> {
        if depth < 10 || depth > 100_000 {
            return Err(Error::Depth);
        }
        if tail_levels > 4096 {
            return Err(Error::TailLevels);
        }
        let join = if tail_levels == 0 { 1 } else { tail_levels };
        let span = (u16::MAX - join) as u128;
        let log = log2(depth) as u128;
        let octaves_a_level = ((log >> 14) / span).div_ceil(2) as u32;
        Ok(Self {
            octaves_a_level,
            tail: Tail::new(depth, join, log / span),
        })
    }

    /// The light of a Level.
    #[must_use]
    #[inline(always)]
    pub const fn light(&self, level: Level) -> Light {
        if level.to_bits() <= self.tail.levels() {
            return self.tail.light(level);
        }
        let below_full = (u16::MAX - level.to_bits()) as u32;
        let high = below_full * (self.octaves_a_level >> 16);
        let low = (below_full * (self.octaves_a_level & 0xFFFF)) >> 16;
        Light::from_bits(power_of_half(high + low))
    }
}

/// `2^-(log / 2^27)` in units of 2^-32, rounded to nearest.
const fn power_of_half(log: u32) -> u32 {
    // Half a unit of the rest, whose highest 16 bits do.
    let log = log + (1 << (REST_BITS - 17));
    let octave = log >> LOG_BITS;
    let part = PARTS[((log >> REST_BITS) & 31) as usize];
    let rest = (log << (32 - REST_BITS)) >> 16;
    // 16 bits of the part do: they are multiplied by at most 0.022. The drop keeps 32.
    let drop = rest * ((SLOPE - rest * BEND) >> 16);
    let short = part >> 16;
    let fall = short * (drop >> 16) + ((short * (drop & 0xFFFF)) >> 16);
    let value = part - (fall >> (DROP_BITS - 16));
    if octave == 0 {
        value
    } else {
        let twice = value >> (octave - 1);
        twice - (twice >> 1)
    }
}

/// Within a part, u = 0 to 1, the light drops by `u (SLOPE - u BEND)` in units of 2^-21 of the part's first value:
/// exact at the middle and the end of the part. The slope has 16 more bits, and 1.25 units on top make up on average
/// for what is left out of the slope and the part.
const SLOPE: u32 = round_drop(4 * drop_q58(6) - drop_q58(5), 16) + (5 << 14);
const BEND: u32 = round_drop(4 * drop_q58(6) - 2 * drop_q58(5), 0);

/// Units of 2^-58 to units of 2^-21, with so many more bits.
const fn round_drop(q58: u64, more: u32) -> u32 {
    (q58 >> (58 - DROP_BITS - 1 - more)).div_ceil(2) as u32
}

/// `1 - 2^-(2^-halvings)` in units of 2^-58.
const fn drop_q58(halvings: u32) -> u64 {
    (1 << 58) - root_of_half(halvings)
}

/// `2^-(2^-halvings)` in units of 2^-58.
const fn root_of_half(halvings: u32) -> u64 {
    let mut value: u128 = 1 << 57;
    let mut k = 0;
    while k < halvings {
        value = (value << 58).isqrt();
        k += 1;
    }
    value as u64
}

/// `2^-(index / 32)` in units of 2^-32.
static PARTS: [u32; 1 << INDEX_BITS] = parts();

const fn parts() -> [u32; 1 << INDEX_BITS] {
    let ratio = root_of_half(INDEX_BITS) as u128;
    let mut value: u128 = 1 << 58;
    let mut parts = [u32::MAX; 1 << INDEX_BITS];
    let mut k = 1;
    while k < parts.len() {
        value = (value * ratio) >> 58;
        parts[k] = ((value >> 25) as u64).div_ceil(2) as u32;
        k += 1;
    }
    parts
}

/// log2 in units of 2^-58, by squaring: each squaring yields one more bit.
const fn log2(depth: u32) -> u64 {
    let whole = depth.ilog2();
    let mut log = whole as u64;
    let mut mantissa = (depth as u128) << (62 - whole);
    let mut bit = 0;
    while bit < 58 {
        mantissa = (mantissa * mantissa) >> 62;
        log <<= 1;
        if mantissa >> 63 != 0 {
            mantissa >>= 1;
            log |= 1;
        }
        bit += 1;
    }
    log
}
