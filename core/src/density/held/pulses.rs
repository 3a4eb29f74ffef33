//! Ones put into dark words, or zeros into full ones, one by one.

use super::Held;
use crate::density::FirstOrder;
use crate::density::flood::flood;

impl Held {
    /// Floods the words with the commoner decision, then puts in the others. False where they are too rare to be counted and one is due.
    #[inline(never)]
    pub(super) fn draw_pulses(&mut self, modulator: &mut FirstOrder, words: &mut [u32]) -> bool {
        let commoner = self.density.to_bits().cast_signed() >> 31;
        flood(words, commoner.cast_unsigned());
        let ticks = (words.len() as u32) << 5;
        if self.returns.due < ticks {
            if self.returns.are_rare() {
                return false;
            }
            let pulse = u32::MAX << (32 - self.stretch.ticks());
            while let Some(word) = words.get_mut((self.returns.due >> 5) as usize) {
                *word ^= pulse >> (self.returns.due & 31);
                self.returns.advance_alone();
            }
        }
        self.go_on(modulator, ticks);
        true
    }
}
