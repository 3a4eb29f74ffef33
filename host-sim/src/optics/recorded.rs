//! Light of a recorded one-bit stream summed over time: for streams without a closed form.

use super::moments::is_on;

/// A stream with its ones summed word by word. *Memory*: 8 bytes for 32 ticks.
#[derive(Clone, Debug)]
pub struct Recorded {
    words: Vec<u32>,
    /// Ones before each word.
    before: Vec<u32>,
}

impl Recorded {
    /// From words of 32 ticks, the earliest in the most significant bit; at most 2^32 ticks.
    #[must_use]
    pub fn new(words: Vec<u32>) -> Self {
        let before = words.iter().scan(0, |ones, word| {
            let before = *ones;
            *ones += word.count_ones();
            Some(before)
        });
        Self {
            before: before.collect(),
            words,
        }
    }

    /// Length in ticks.
    #[must_use]
    pub fn ticks(&self) -> usize {
        32 * self.words.len()
    }

    /// Ones from the first tick to `ticks`, a straight line within each tick; the time is held within the record.
    #[must_use]
    pub fn light_until(&self, ticks: f64) -> f64 {
        let ticks = ticks.max(0.0);
        let tick = ticks as usize;
        let Some(&before) = self.before.get(tick / 32) else {
            let ones = self.words.last().map_or(0, |word| word.count_ones());
            return f64::from(self.before.last().map_or(0, |&before| before + ones));
        };
        let ones = before + (u64::from(self.words[tick / 32]) >> (32 - tick % 32)).count_ones();
        let on = f64::from(u8::from(is_on(&self.words, tick)));
        f64::from(ones) + on * ticks.fract()
    }
}
