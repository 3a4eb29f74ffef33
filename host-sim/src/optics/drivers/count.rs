//! Ones and edges of words.

/// Ones and edges of words, given the bit before them.
pub(super) struct Count {
    pub(super) ones: f64,
    /// Rising edges.
    pub(super) up: f64,
    /// Falling edges.
    pub(super) down: f64,
}

impl Count {
    pub(super) fn of(words: &[u32], before: bool) -> Self {
        let (mut ones, mut up, mut down) = (0u64, 0u64, 0u64);
        let mut last = u32::from(before);
        for &word in words {
            let shifted = last << 31 | word >> 1;
            ones += u64::from(word.count_ones());
            up += u64::from((word & !shifted).count_ones());
            down += u64::from((!word & shifted).count_ones());
            last = word & 1;
        }
        Self {
            ones: ones as f64,
            up: up as f64,
            down: down as f64,
        }
    }
}
