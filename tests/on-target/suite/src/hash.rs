//! FNV-1a, 32 bits.

/// The hash of the words so far, taken byte by byte, the lowest first.
///
/// *Source*: Fowler, Noll and Vo, draft-eastlake-fnv (constants from memory).
pub(crate) struct Hash(u32);

impl Hash {
    pub(crate) const fn new() -> Self {
        Self(0x811C_9DC5)
    }

    pub(crate) fn word(&mut self, word: u32) {
        for byte in word.to_le_bytes() {
            self.0 = (self.0 ^ u32::from(byte)).wrapping_mul(0x0100_0193);
        }
    }

    pub(crate) fn words(&mut self, words: impl IntoIterator<Item = u32>) {
        words.into_iter().for_each(|word| self.word(word));
    }

    pub(crate) const fn value(&self) -> u32 {
        self.0
    }
}
