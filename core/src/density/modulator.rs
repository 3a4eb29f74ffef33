//! The modulation of a channel, chosen in its configuration and resolved once a buffer.

use super::{
    Decision, Density, DitherWidth, Dithered, FirstOrder, NoiseSource, SecondOrder, Timer,
};
use crate::requantise::TimerPwm;

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
    /// See [`Timer`].
    Timer(TimerPwm),
}

impl Modulation {
    /// Whether the modulator books what each edge takes, since the number of edges is not known from the density.
    pub const fn books_edges(self) -> bool {
        !matches!(self, Self::FirstOrder)
    }
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
    /// A timer's PWM.
    Timer(Timer),
}

impl Modulator {
    /// With a starting phase, 0 to 2^32 - 1 for 0 to 1 pulse.
    #[must_use]
    pub const fn new(modulation: Modulation, phase: u32) -> Self {
        match modulation {
            Modulation::FirstOrder => Self::FirstOrder(FirstOrder::new(phase)),
            Modulation::Dithered(width) => Self::Dithered(Dithered::new(width, phase)),
            Modulation::SecondOrder => Self::SecondOrder(SecondOrder::new(phase)),
            Modulation::Timer(pwm) => Self::Timer(Timer::new(pwm, phase)),
        }
    }

    /// The next ticks of a whole slice, 32 a word, the earliest in the most significant bit.
    pub fn fill(&mut self, density: Density, words: &mut [u32], noise: &mut impl NoiseSource) {
        self.fill_as(density, Decision::PLAIN, words, noise);
    }

    /// The same, in decisions of another length and with edges that take of the light.
    ///
    /// Out of line: copied into each channel's place, it would take its size in flash once a channel.
    #[inline(never)]
    pub fn fill_as(
        &mut self,
        density: Density,
        decision: Decision,
        words: &mut [u32],
        noise: &mut impl NoiseSource,
    ) {
        match self {
            Self::FirstOrder(modulator) => modulator.fill_as(density, decision, words),
            Self::Dithered(modulator) => modulator.fill_as(density, decision, words, noise),
            Self::SecondOrder(modulator) => modulator.fill_as(density, decision, words),
            Self::Timer(modulator) => modulator.fill_as(density, decision, words, noise),
        }
    }

    /// Wakes up from black: with phase 0 the next tick is a pulse; a phase, 0 to 2^32 - 1 for 0 to 1 pulse, puts the
    /// first pulse off by at most that part of the time between pulses. Charge left from before is dropped.
    #[inline(never)]
    pub const fn wake(&mut self, density: Density, phase: u32) {
        match self {
            Self::FirstOrder(modulator) => modulator.wake(density, phase),
            Self::Dithered(modulator) => modulator.wake(density, phase),
            Self::SecondOrder(modulator) => modulator.wake(density, phase),
            Self::Timer(modulator) => modulator.wake(density, phase),
        }
    }

    /// The charge carried, in units of 2^-32 decisions.
    pub(crate) const fn charge(&self) -> i64 {
        match self {
            Self::FirstOrder(modulator) => modulator.all_charge(),
            Self::Dithered(modulator) => modulator.charge(),
            Self::SecondOrder(modulator) => modulator.charge(),
            Self::Timer(modulator) => modulator.charge(),
        }
    }

    /// Another charge to carry on with: whole decisions of it are given, or left out, at once.
    pub(crate) const fn set_charge(&mut self, charge: i64) {
        match self {
            Self::FirstOrder(modulator) => modulator.set_charge(charge),
            Self::Dithered(modulator) => modulator.set_charge(charge),
            Self::SecondOrder(modulator) => modulator.set_charge(charge),
            Self::Timer(modulator) => modulator.restart(charge),
        }
    }
}
