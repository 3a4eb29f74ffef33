//! Pseudo-random numbers for dither.

use crate::Error;

/// A source of numbers for dither, passed in by the caller.
pub trait NoiseSource {
    /// The next number, evenly spread over all 2^32 values.
    fn next(&mut self) -> u32;
}

/// A 32-bit shift register with feedback, Galois form, of maximal length: 2^32 - 1 numbers before it repeats.
///
/// *Source*: x^32 + x^22 + x^2 + x + 1, a widely tabulated primitive polynomial (from memory; its order was proved by
/// computation). *State*: 4 bytes. *Cost*: a shift and a masked exclusive or.
#[derive(Clone, Debug)]
pub struct Lfsr32 {
    state: u32,
}

impl Lfsr32 {
    const FEEDBACK: u32 = 0x8020_0003;

    /// From a seed.
    ///
    /// # Errors
    /// [`Error::Seed`] for 0, from which the register would never move.
    pub const fn new(seed: u32) -> Result<Self, Error> {
        if seed == 0 {
            Err(Error::Seed)
        } else {
            Ok(Self { state: seed })
        }
    }

    /// Another source, far away in the sequence, for channel `k`.
    pub(crate) const fn branch(&self, k: u32) -> Self {
        let state = self.state ^ k.wrapping_mul(0x9E37_79B9);
        Self {
            state: if state == 0 { 1 } else { state },
        }
    }
}

impl NoiseSource for Lfsr32 {
    #[inline]
    fn next(&mut self) -> u32 {
        let feedback = (self.state & 1).wrapping_neg() & Self::FEEDBACK;
        self.state = (self.state >> 1) ^ feedback;
        self.state
    }
}
