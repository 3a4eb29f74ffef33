//! The last Levels of a curve that has a depth: from there to black, without a last jump.

use crate::{Level, Light, fraction};

/// ln 2 in units of 2^-32.
const LN_2: u128 = 2_977_044_472;

/// From black at Level 0 to `1 / depth` at the join, along `t² + (2 - c)(t - t²)`: `t` is the way from 0 to 1, `c` the
/// slope that the curve above has at the join, measured the same way. `c` stays below 1 for all allowed curves, so
/// that the tail rises all the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Tail {
    levels: u16,
    /// 2^32 / levels, rounded down.
    way_a_level: u32,
    /// (2 - c) / 2.
    lift: u32,
    /// Light at the join.
    lowest: u32,
}

impl Tail {
    /// `octaves_a_level` is the slope at the join in units of 2^-58 octaves a Level.
    pub(super) const fn new(depth: u32, levels: u16, octaves_a_level: u128) -> Self {
        let half_slope = (octaves_a_level * levels as u128 * LN_2) >> 59;
        Self {
            levels,
            way_a_level: u32::MAX / levels as u32,
            lift: u32::MAX - half_slope as u32,
            lowest: (((1u64 << 32) + (depth / 2) as u64) / depth as u64) as u32,
        }
    }

    pub(super) const fn levels(&self) -> u16 {
        self.levels
    }

    /// The light of a Level up to the join.
    pub(super) const fn light(&self, level: Level) -> Light {
        let way = self.way(level);
        let square = fraction::product(way, way);
        let lifted = 2 * fraction::product(self.lift, way - square);
        Light::from_bits(fraction::product(square + lifted, self.lowest))
    }

    const fn way(&self, level: Level) -> u32 {
        if level.to_bits() == self.levels {
            return u32::MAX;
        }
        level.to_bits() as u32 * self.way_a_level
    }
}
