//! Words of ticks for outputs that shift them out.

/// Which bit of a frame a shift output sends first.
///
/// *Cost*: none for words sent from the most significant bit, the modulators' own order; else a reversal of 32 bits a word
/// (one instruction on a Cortex-M3, about 30 on a Cortex-M0).
///
/// ```
/// use milliglow::output::BitOrder;
/// let word = 0xC000_0001; // lit for two ticks, and again on the last of 32
/// assert_eq!(BitOrder::MostSignificantFirst.bytes(word), [0xC0, 0, 0, 0x01]);
/// assert_eq!(BitOrder::LeastSignificantFirst.bytes(word), [0x03, 0, 0, 0x80]);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum BitOrder {
    /// As the words are.
    #[default]
    MostSignificantFirst,
    /// Reversed in each frame.
    LeastSignificantFirst,
}

impl BitOrder {
    /// A frame of 32 bits, whose first bit on the wire is the earliest tick.
    #[must_use]
    pub const fn word(self, word: u32) -> u32 {
        match self {
            Self::MostSignificantFirst => word,
            Self::LeastSignificantFirst => word.reverse_bits(),
        }
    }

    /// Four frames of 8 bits, the first one first.
    #[must_use]
    pub const fn bytes(self, word: u32) -> [u8; 4] {
        match self {
            Self::MostSignificantFirst => word.to_be_bytes(),
            Self::LeastSignificantFirst => word.reverse_bits().to_le_bytes(),
        }
    }

    /// Words in place.
    pub fn words(self, words: &mut [u32]) {
        for word in words {
            *word = self.word(*word);
        }
    }
}
