//! Counts ones, pulses and dark gaps of a stream, a word at a time.

/// What a stream has held so far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PulseCount {
    /// Ones.
    pub ones: u64,
    /// Runs of ones that began.
    pub pulses: u64,
    /// Longest run of zeros after the first one, in ticks.
    pub longest_dark_ticks: u64,
    /// Zeros since the last one; none before the first.
    dark_ticks: Option<u64>,
    last_was_one: bool,
}

impl PulseCount {
    /// Takes the next 32 ticks, the earliest in the most significant bit.
    pub fn see(&mut self, word: u32) {
        let before = (word >> 1) | (u32::from(self.last_was_one) << 31);
        self.ones += u64::from(word.count_ones());
        self.pulses += u64::from((word & !before).count_ones());
        self.last_was_one = word & 1 != 0;
        if word == 0 {
            self.dark_ticks = self.dark_ticks.map(|ticks| ticks + 32);
            self.note_gap();
        } else if word != u32::MAX || self.dark_ticks != Some(0) {
            self.see_gaps(word);
        }
    }

    fn see_gaps(&mut self, word: u32) {
        let mut rest = word;
        let mut left = 32;
        while rest != 0 {
            let zeros = rest.leading_zeros();
            self.dark_ticks = self.dark_ticks.map(|ticks| ticks + u64::from(zeros));
            self.note_gap();
            let shifted = rest << zeros;
            let ones = shifted.leading_ones();
            self.dark_ticks = Some(0);
            left -= zeros + ones;
            rest = shifted.checked_shl(ones).unwrap_or(0);
        }
        self.dark_ticks = Some(u64::from(left));
        self.note_gap();
    }

    fn note_gap(&mut self) {
        self.longest_dark_ticks = self.longest_dark_ticks.max(self.dark_ticks.unwrap_or(0));
    }
}

#[cfg(test)]
mod tests {
    use super::PulseCount;

    /// Counts bit by bit, the slow and plain way.
    fn plainly(words: &[u32]) -> (u64, u64, u64) {
        let bits = words
            .iter()
            .flat_map(|word| (0..32).rev().map(move |k| word >> k & 1 == 1));
        let (mut ones, mut pulses, mut longest, mut dark, mut last) = (0, 0, 0, None, false);
        for bit in bits {
            ones += u64::from(bit);
            pulses += u64::from(bit && !last);
            dark = if bit {
                Some(0)
            } else {
                dark.map(|ticks: u64| ticks + 1)
            };
            longest = longest.max(dark.unwrap_or(0));
            last = bit;
        }
        (ones, pulses, longest)
    }

    #[test]
    fn agrees_with_counting_bit_by_bit() {
        let mut state = 12_345u32;
        for sparse in [0, 1, 3, 6] {
            let words: Vec<u32> = (0..500)
                .map(|_| {
                    (0..=sparse).fold(u32::MAX, |word, _| {
                        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                        word & (state ^ (state >> 15).wrapping_mul(40_503))
                    })
                })
                .chain([0, 0, u32::MAX, u32::MAX, 1, 0x8000_0000, 0])
                .collect();
            let mut count = PulseCount::default();
            words.iter().for_each(|&word| count.see(word));
            assert_eq!(
                (count.ones, count.pulses, count.longest_dark_ticks),
                plainly(&words)
            );
        }
    }
}
