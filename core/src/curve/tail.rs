//! The last Levels of a curve that has a depth: from there to black, without a last jump.

use crate::{Level, Light};

/// ln 2 in units of 2^-32.
const LN_2: u128 = 2_977_044_472;

/// Fraction bits of the way, in units of the least power of 2 that is not below the levels.
const WAY_BITS: u32 = 13;

/// From black at Level 0 to `1 / depth` at the join, along `t² + (2 - c)(t - t²)`: `t` is the way from 0 to 1, `c` the
/// slope that the curve above has at the join, measured the same way. `c` stays below 1 for all allowed curves, so
/// that the tail rises all the way.
///
/// That is `t (a - b t)`; with the way in units of 2^-13 of a power of 2 it takes a product of 16 bits and two of 13 x 32 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Tail {
    levels: u16,
    /// The way a Level.
    way_a_level: u16,
    /// a, in light.
    steepest: u32,
    /// b, likewise.
    bend: u32,
}

impl Tail {
    /// `octaves_a_level` is the slope at the join in units of 2^-58 octaves a Level.
    pub(super) const fn new(depth: u32, levels: u16, octaves_a_level: u128) -> Self {
        // 1 - c in units of 2^-32.
        let lift = (1 << 32) - ((octaves_a_level * levels as u128 * LN_2) >> 58);
        let lowest = (((1u64 << 32) + (depth / 2) as u64) / depth as u64) as u128;
        let whole = levels.next_power_of_two() as u128;
        let way_a_level = (1 << WAY_BITS) / whole as u16;
        // Over the way at the join.
        let steep = (lowest * whole).div_ceil(levels as u128) as u32;
        let bend = ((lowest * whole * whole * lift) / (levels as u128 * levels as u128)) >> 32;
        let bend = bend as u32;
        Self {
            levels,
            way_a_level,
            // Rounded so that the join is exact.
            steepest: steep + part(levels as u32 * way_a_level as u32, bend),
            bend,
        }
    }

    #[inline(always)]
    pub(super) const fn levels(&self) -> u16 {
        self.levels
    }

    /// The light of a Level up to the join.
    #[inline(always)]
    pub(super) const fn light(&self, level: Level) -> Light {
        let way = level.to_bits() as u32 * self.way_a_level as u32;
        let slope = self.steepest - part(way, self.bend);
        Light::from_bits(part(way, slope))
    }
}

/// `way x value / 2^13`, rounded down, for a way of up to 1 and a value of up to 4 / 10 of 2^32.
#[inline(always)]
const fn part(way: u32, value: u32) -> u32 {
    let high = way * (value >> 16);
    (high << (16 - WAY_BITS)) + ((way * (value & 0xFFFF)) >> WAY_BITS)
}
