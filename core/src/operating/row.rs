//! One row of an operating table.

use super::gain::Gain;
use super::{EdgeLoss, RangeRatio};
use crate::density::{Decision, Density, Edge, Modulation, Stretch};
use crate::fraction::{product, wide_product};
use crate::{Error, Light};

/// What a row is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct RowSetting {
    /// The channel light from which on the row is in force, going up.
    pub from_light: Light,
    /// Which set point of the driver: a number of the board's own.
    pub range: u8,
    /// Full light of the channel over that of this range.
    pub ratio: RangeRatio,
    /// Ticks a decision.
    pub stretch: Stretch,
    /// What the driver's edges take in this channel and range.
    pub edges: EdgeLoss,
}

/// A row of an operating table, ready for the control step.
///
/// With range ratio R and edge loss g in decisions, first order has min(density, 1 - density) rising edges a decision, so that light
/// `a` is had by the density `a R / (1 - g)` up to one half, and by `(a R + g) / (1 + g)` above. Modulations whose edges are not
/// known beforehand book each edge in the modulator: there the density is `a R`.
///
/// *Flash*: 40 bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Row {
    from_light: Light,
    /// The light at full density, rounded down.
    full: Light,
    /// The light at half density, rounded down; below `full`.
    knee: Light,
    ratio: RangeRatio,
    gain: Gain,
    slope: Gain,
    edge: Edge,
    stretch: Stretch,
    range: u8,
}

/// 1 in the units of an [`Edge`].
const ONE: i64 = 1 << 31;

impl Row {
    /// An ideal driver of one range, a tick a decision: light is density.
    pub const PLAIN: Self = match Self::made(&RowSetting::PLAIN, Edge::NONE, Edge::NONE) {
        Ok(row) => row,
        Err(_) => unreachable!(),
    };

    /// A row for a channel of this modulation.
    ///
    /// # Errors
    /// [`Error::Edge`] for edges that take a whole decision or last longer than one, so that there is no pulse any more.
    /// Cost: four 64-bit divisions; for set-up.
    pub const fn new(setting: &RowSetting, modulation: Modulation) -> Result<Self, Error> {
        let edge = match setting.edges.of_decision(setting.stretch) {
            Ok(edge) => edge,
            Err(error) => return Err(error),
        };
        if modulation.books_edges() {
            Self::made(setting, Edge::NONE, edge)
        } else {
            Self::made(setting, edge, Edge::NONE)
        }
    }

    const fn made(setting: &RowSetting, corrected: Edge, booked: Edge) -> Result<Self, Error> {
        let ratio = setting.ratio.to_bits() as u64;
        let (less, more) = (
            (ONE - corrected.to_bits() as i64) as u64,
            (ONE + corrected.to_bits() as i64) as u64,
        );
        // None of the divisors is 0, which the compiler does not know.
        let (Some(full), Some(knee), Some(rising), Some(falling)) = (
            (1_u64 << 52).checked_div(ratio),
            (less << 20).checked_div(ratio),
            (ratio << 31).checked_div(less),
            (ratio << 31).checked_div(more),
        ) else {
            return Err(Error::Edge);
        };
        let (Some(gain), Some(slope)) =
            (Gain::from_q20_floor(rising), Gain::from_q20_floor(falling))
        else {
            return Err(Error::Edge);
        };
        let full = least(full, u32::MAX as u64) as u32;
        Ok(Self {
            from_light: setting.from_light,
            full: Light::from_bits(full),
            // Edges that give almost a decision would put it up to full.
            knee: Light::from_bits(least(knee, full as u64 - 1) as u32),
            ratio: setting.ratio,
            gain,
            slope,
            edge: booked,
            stretch: setting.stretch,
            range: setting.range,
        })
    }

    /// The density that gives channel light `light` in this row.
    ///
    /// *Error*: the light is off by less than 3.1e-5 of itself, above half density by less than 3.1e-5 of what is missing to full,
    /// and in either case the range ratio x 2^-32 more, or twice that where full comes next, which stands for 1. *Range*: never falls when the light rises; none for no light, full from
    /// the light of full density on. *Cost*: one comparison or two, and three 16 x 16 -> 32 bit products. Bit for bit the light itself
    /// for ratio 1 and ideal edges.
    #[must_use]
    pub const fn density(&self, light: Light) -> Density {
        if light.to_bits() <= self.knee.to_bits() {
            self.below_half(light)
        } else if light.to_bits() < self.full.to_bits() {
            self.above_half(light)
        } else {
            Density::FULL
        }
    }

    #[inline(always)]
    pub(super) const fn below_half(&self, light: Light) -> Density {
        Density::from_bits(self.gain.of(light.to_bits()))
    }

    /// For lights up to full.
    #[inline(always)]
    pub(super) const fn above_half(&self, light: Light) -> Density {
        let missing = self.full.to_bits().wrapping_sub(light.to_bits());
        Density::from_bits(!self.slope.of(missing))
    }

    /// The light at half density, rounded down.
    pub(super) const fn knee(&self) -> u32 {
        self.knee.to_bits()
    }

    /// The channel light from which on the row is in force, going up.
    #[must_use]
    pub const fn from_light(&self) -> Light {
        self.from_light
    }

    /// The channel light that the row gives at full density, rounded down.
    #[must_use]
    pub const fn full(&self) -> Light {
        self.full
    }

    /// The set point of the driver.
    #[must_use]
    pub const fn range(&self) -> u8 {
        self.range
    }

    /// Full light of the channel over that of the range.
    #[must_use]
    pub const fn ratio(&self) -> RangeRatio {
        self.ratio
    }

    /// What a decision of the channel's modulator is.
    #[must_use]
    pub const fn decision(&self) -> Decision {
        Decision {
            stretch: self.stretch,
            edge: self.edge,
        }
    }

    /// Whether edges are corrected the way that the modulation asks for.
    pub(super) const fn suits(&self, modulation: Modulation) -> bool {
        let in_closed_form = self.gain.differs(self.slope);
        let booked = self.edge.to_bits() != 0;
        if modulation.books_edges() {
            !in_closed_form
        } else {
            !booked
        }
    }

    /// Whether light is density, a tick a decision.
    pub(super) const fn is_plain(&self) -> bool {
        let (gain, one) = (self.gain, Self::PLAIN.gain);
        let linear = !gain.differs(one) && !self.slope.differs(one) && self.edge.to_bits() == 0;
        linear && self.stretch.shift() == 0
    }

    /// The same light in decisions of another row: a charge in units of 2^-32 decisions, within 4 of them.
    /// The factor is (this stretch x this full light) / (that stretch x that full light).
    pub(crate) const fn charge_in(&self, row: &Self, charge: i64) -> i64 {
        let light = self.light_in(row, charge);
        let (from, to) = (self.stretch.shift(), row.stretch.shift());
        let magnitude = shifted_left(light.unsigned_abs(), from.saturating_sub(to));
        signed(shifted_right(magnitude, to.saturating_sub(from)), light)
    }

    /// A charge in decisions that last as long, of another row's light: times this full light over that, within 4 units. Cut off at
    /// 2^18 decisions, and the product at 2^26, which nothing reaches that a modulator can owe.
    pub(crate) const fn light_in(&self, row: &Self, charge: i64) -> i64 {
        if self.full.to_bits() == row.full.to_bits() {
            return charge;
        }
        let mut light = least(charge.unsigned_abs(), 1 << 50);
        if self.full.to_bits() != u32::MAX {
            light = in_full_light(light, self.full.to_bits());
        }
        signed(least(in_range(light, row.ratio.to_bits()), 1 << 58), charge)
    }
}

const fn least(a: u64, b: u64) -> u64 {
    if a < b { a } else { b }
}

/// Of at most 50 bits, times a fraction. Less than a whole decision, as most charges are, takes three 16 x 16 -> 32 bit products.
const fn in_full_light(charge: u64, full: u32) -> u64 {
    whole_times(charge, full) + product(charge as u32, full) as u64
}

/// Of at most 50 bits, times a ratio of at most 2^30 in units of 2^-20. Four products for less than a whole.
const fn in_range(light: u64, ratio: u32) -> u64 {
    let (high, low) = (light as u32 >> 16, light as u32 & 0xFFFF);
    let (ratio_high, ratio_low) = (ratio >> 16, ratio & 0xFFFF);
    let cross = ((high * ratio_low) >> 4) + ((low * ratio_high) >> 4);
    let ends = (((high * ratio_high) as u64) << 12) + ((low * ratio_low) >> 20) as u64;
    (whole_times(light, ratio) << 12) + ends + cross as u64
}

/// The whole part of a charge, times a factor.
#[inline(always)]
const fn whole_times(charge: u64, factor: u32) -> u64 {
    let whole = (charge >> 32) as u32;
    if whole == 0 {
        0
    } else {
        wide_product(whole, factor)
    }
}

/// By 0 to 4 bits.
#[inline(always)]
const fn shifted_left(number: u64, bits: u32) -> u64 {
    let (high, low) = ((number >> 32) as u32, number as u32);
    let carried = ((low >> 16) << bits) >> 16;
    ((high << bits | carried) as u64) << 32 | (low << bits) as u64
}

/// By 0 to 4 bits.
#[inline(always)]
const fn shifted_right(number: u64, bits: u32) -> u64 {
    let (high, low) = ((number >> 32) as u32, number as u32);
    let carried = (high & 15) << (4 - bits) << 28;
    ((high >> bits) as u64) << 32 | (carried | low >> bits) as u64
}

const fn signed(magnitude: u64, like: i64) -> i64 {
    if like < 0 {
        -(magnitude as i64)
    } else {
        magnitude as i64
    }
}

impl RowSetting {
    /// An ideal driver of one range, a tick a decision.
    pub const PLAIN: Self = Self {
        from_light: Light::BLACK,
        range: 0,
        ratio: RangeRatio::ONE,
        stretch: Stretch::One,
        edges: EdgeLoss::NONE,
    };
}
