//! What makes the stream of a channel: any modulation, or one alone.

use crate::density::{Decision, Density, FirstOrder, Lfsr32, Modulator};

/// Implemented by what is here, by no others.
pub trait Stream: Clone {
    /// The modulator in it.
    type Modulator;

    /// The next ticks of a whole slice, 32 a word.
    fn fill_as(&mut self, density: Density, decision: Decision, words: &mut [u32]);

    /// Wakes up from black.
    fn wake(&mut self, density: Density, phase: u32);

    /// The charge carried, in units of 2^-32 decisions.
    fn charge(&self) -> i64;

    /// Another charge to carry on with.
    fn set_charge(&mut self, charge: i64);

    /// The modulator.
    fn modulator(&self) -> &Self::Modulator;

    /// The modulator if it is of first order.
    fn first_order(&self) -> Option<&FirstOrder>;

    /// The same, to be run.
    fn first_order_mut(&mut self) -> Option<&mut FirstOrder>;
}

/// A modulator of any kind, and its dither.
#[derive(Clone, Debug)]
pub struct AnyStream {
    pub(super) modulator: Modulator,
    pub(super) noise: Lfsr32,
}

impl Stream for AnyStream {
    type Modulator = Modulator;

    fn fill_as(&mut self, density: Density, decision: Decision, words: &mut [u32]) {
        self.modulator
            .fill_as(density, decision, words, &mut self.noise);
    }

    fn wake(&mut self, density: Density, phase: u32) {
        self.modulator.wake(density, phase);
    }

    fn charge(&self) -> i64 {
        self.modulator.charge()
    }

    fn set_charge(&mut self, charge: i64) {
        self.modulator.set_charge(charge);
    }

    fn modulator(&self) -> &Modulator {
        &self.modulator
    }

    fn first_order(&self) -> Option<&FirstOrder> {
        match &self.modulator {
            Modulator::FirstOrder(modulator) => Some(modulator),
            _ => None,
        }
    }

    fn first_order_mut(&mut self) -> Option<&mut FirstOrder> {
        match &mut self.modulator {
            Modulator::FirstOrder(modulator) => Some(modulator),
            _ => None,
        }
    }
}

impl Stream for FirstOrder {
    type Modulator = Self;

    #[inline(never)]
    fn fill_as(&mut self, density: Density, decision: Decision, words: &mut [u32]) {
        Self::fill_as(self, density, decision, words);
    }

    fn wake(&mut self, density: Density, phase: u32) {
        Self::wake(self, density, phase);
    }

    fn charge(&self) -> i64 {
        self.all_charge()
    }

    fn set_charge(&mut self, charge: i64) {
        Self::set_charge(self, charge);
    }

    fn modulator(&self) -> &Self {
        self
    }

    fn first_order(&self) -> Option<&FirstOrder> {
        Some(self)
    }

    fn first_order_mut(&mut self) -> Option<&mut FirstOrder> {
        Some(self)
    }
}
