//! How long one decision of a modulator lasts.

use crate::Error;

/// Ticks a decision: pulses and gaps are whole multiples of it, so that it sets the shortest on- and off-time.
///
/// *Cost*: a word of 32 ticks takes 32 / stretch decisions and their expansion, so longer decisions are cheaper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(u8)]
pub enum Stretch {
    /// A decision a tick.
    #[default]
    One,
    /// Two ticks a decision.
    Two,
    /// Four ticks a decision.
    Four,
    /// Eight ticks a decision.
    Eight,
    /// Sixteen ticks a decision.
    Sixteen,
}

impl Stretch {
    /// From 1, 2, 4, 8 or 16 ticks a decision.
    ///
    /// # Errors
    /// [`Error::Stretch`] for any other number.
    pub const fn from_ticks(ticks: u32) -> Result<Self, Error> {
        match ticks {
            1 => Ok(Self::One),
            2 => Ok(Self::Two),
            4 => Ok(Self::Four),
            8 => Ok(Self::Eight),
            16 => Ok(Self::Sixteen),
            _ => Err(Error::Stretch),
        }
    }

    /// Ticks a decision: the shortest on- and off-time of a stream.
    pub const fn ticks(self) -> u32 {
        1 << self.shift()
    }

    /// The logarithm to base 2 of the ticks a decision.
    pub(crate) const fn shift(self) -> u32 {
        self as u32
    }

    /// Decisions that fill a word of 32 ticks.
    pub(crate) const fn decisions_a_word(self) -> u32 {
        32 >> self.shift()
    }

    /// A word of ticks from its decisions, which are the lowest bits, the earliest the highest of them.
    pub(crate) const fn expand(self, decisions: u32) -> u32 {
        match self {
            Self::One => decisions,
            Self::Two => spread_16(decisions) * 0x3,
            Self::Four => spread_8(decisions) * 0xF,
            Self::Eight => (decisions.wrapping_mul(0x0020_4081) & 0x0101_0101) * 0xFF,
            Self::Sixteen => ((decisions | decisions << 15) & 0x0001_0001) * 0xFFFF,
        }
    }

    /// Words of ticks from up to 32 decisions, the earliest the highest bit.
    #[inline(always)]
    pub(crate) fn expand_all(self, mut decisions: u32, words: &mut [u32]) {
        let count = self.decisions_a_word();
        for word in words {
            decisions = decisions.rotate_left(count);
            *word = self.expand(decisions & (u32::MAX >> (32 - count)));
        }
    }
}

/// Sixteen bits, each two places from the next.
const fn spread_16(bits: u32) -> u32 {
    let bits = (bits | bits << 8) & 0x00FF_00FF;
    let bits = (bits | bits << 4) & 0x0F0F_0F0F;
    let bits = (bits | bits << 2) & 0x3333_3333;
    (bits | bits << 1) & 0x5555_5555
}

/// Eight bits, each four places from the next.
const fn spread_8(bits: u32) -> u32 {
    let bits = (bits | bits << 12) & 0x000F_000F;
    let bits = (bits | bits << 6) & 0x0303_0303;
    (bits | bits << 3) & 0x1111_1111
}

#[cfg(test)]
mod tests {
    use super::Stretch;

    #[test]
    fn every_decision_lasts_as_long_as_any_other() {
        for ticks in [1, 2, 4, 8, 16] {
            let stretch = Stretch::from_ticks(ticks).expect("allowed");
            assert_eq!(stretch.ticks(), ticks);
            let decisions = 0xB2D5_3C69 & ((1_u64 << (32 / ticks)) - 1) as u32;
            let word = stretch.expand(decisions);
            for tick in 0..32 {
                assert_eq!(word >> tick & 1, decisions >> (tick / ticks) & 1, "{ticks}");
            }
        }
    }
}
