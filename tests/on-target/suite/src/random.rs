//! Vectors from nowhere in particular, the same everywhere.

/// Numbers of 32 bits: a linear congruence, its halves changed over, since its low bits hardly move.
pub(crate) struct Random(u32);

impl Random {
    pub(crate) const fn new(start: u32) -> Self {
        Self(start)
    }

    pub(crate) const fn next(&mut self) -> u32 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        self.0 ^ self.0.rotate_left(16)
    }

    /// Of any length in bits, so that small ones come up as often as large ones.
    pub(crate) const fn any_length(&mut self) -> u32 {
        let length = self.next() % 32;
        self.next() >> length
    }
}
