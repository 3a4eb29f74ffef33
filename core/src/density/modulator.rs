//! The modulation of a channel, chosen in its configuration and resolved once a buffer.

use super::{Density, DitherWidth, Dithered, FirstOrder, NoiseSource, SecondOrder};

/// How a channel's density becomes a stream.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum Modulation {
    /// See [`FirstOrder`].
    #[default]
    FirstOrder,
    /// See [`Dithered`].
    Dithered(DitherWidth),
    /// See [`SecondOrder`].
    SecondOrder,
}

/// The state of a channel's modulator.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum Modulator {
    /// First order.
    FirstOrder(FirstOrder),
    /// First order with dither.
    Dithered(Dithered),
    /// Second order.
    SecondOrder(SecondOrder),
}

impl Modulator {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse.
    #[must_use]
    pub const fn new(modulation: Modulation, phase: u32) -> Self {
        match modulation {
            Modulation::FirstOrder => Self::FirstOrder(FirstOrder::new(phase)),
            Modulation::Dithered(width) => Self::Dithered(Dithered::new(width, phase)),
            Modulation::SecondOrder => Self::SecondOrder(SecondOrder::new(phase)),
        }
    }

    /// The next ticks of a whole slice, 32 a word, the earliest in the most significant bit.
    ///
    /// Out of line: copied into each channel's place, it would take its size in flash once a channel.
    #[inline(never)]
    pub fn fill(&mut self, density: Density, words: &mut [u32], noise: &mut impl NoiseSource) {
        match self {
            Self::FirstOrder(modulator) => modulator.fill(density, words),
            Self::Dithered(modulator) => modulator.fill(density, words, noise),
            Self::SecondOrder(modulator) => modulator.fill(density, words),
        }
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse; a phase, 0 to 2^32 - 1 for 0 to 1 pulse, puts the
    /// first pulse off by at most that part of the time between pulses. Charge left from before is dropped.
    pub const fn wake(&mut self, density: Density, phase: u32) {
        match self {
            Self::FirstOrder(modulator) => modulator.wake(density, phase),
            Self::Dithered(modulator) => modulator.wake(density, phase),
            Self::SecondOrder(modulator) => modulator.wake(density, phase),
        }
    }
}
