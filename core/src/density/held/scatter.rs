//! Single pulses handed out by their ticks, for ports.

use super::{Form, Held};
use crate::density::{Density, FirstOrder, Stretch};

/// Ticks that are drawn together at most.
const MOST_TICKS: u32 = 1 << 20;

impl Held {
    /// Whether the next so many ticks hold pulses of one tick that are rare and known, or none; prepares for them.
    #[inline(always)]
    pub(crate) fn is_sparse(
        &mut self,
        modulator: &FirstOrder,
        density: Density,
        ticks: u32,
    ) -> bool {
        if density == Density::NONE {
            return true;
        }
        let is_known = self.stands(modulator, density, Stretch::One) && self.form == Form::Pulses
            || self.becomes_sparse(modulator, density);
        is_known && ticks <= MOST_TICKS && !(self.returns.are_rare() && self.returns.due < ticks)
    }

    #[cold]
    #[inline(never)]
    fn becomes_sparse(&mut self, modulator: &FirstOrder, density: Density) -> bool {
        (self.density, self.stretch, self.charge) = (density, Stretch::One, modulator.charge());
        self.forget();
        if !self.is_rare() || modulator.owed() != 0 {
            return false;
        }
        self.prepare_pulses(modulator.charge());
        true
    }

    /// The pulses of the next ticks, after [`Held::is_sparse`] has said yes.
    #[inline(always)]
    pub(crate) fn scatter(
        &mut self,
        modulator: &mut FirstOrder,
        density: Density,
        ticks: u32,
        mut pulse: impl FnMut(u32),
    ) {
        if density == Density::NONE {
            return;
        }
        while self.returns.due < ticks {
            pulse(self.returns.due);
            self.returns.advance_alone();
        }
        self.go_on(modulator, ticks);
    }
}
