//! The fast profile of the first order, for densities that stand for a while.

mod copies;
mod copy;
mod descent;
mod prepare;
mod pulses;
mod returns;

use super::{Decision, Density, FirstOrder, Stretch};
use returns::Returns;

/// What a first-order channel keeps so that buffers of a density that stands cost a fraction: the *fast* profile, beside a
/// [`FirstOrder`], which alone is the *small* one. **The stream is the same, bit for bit.**
#[derive(Clone, Debug)]
pub struct Held {
    /// What the words so far were drawn with, and the charge that they left.
    density: Density,
    charge: u32,
    stretch: Stretch,
    form: Form,
    /// Words drawn so far with this density, as history to copy from.
    words: u16,
    /// Ticks that a copy goes back.
    distance: u16,
    /// What a visit at the end of a buffer changes at the beginning of the next.
    carried: u32,
    returns: Returns,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    /// As [`FirstOrder`] does, until it pays to prepare.
    Plain,
    /// The same, and it will not pay.
    Refused,
    /// Dark (or full) words, and each one (or zero) put in.
    Pulses,
    /// Words copied from earlier ones, and two decisions changed now and then.
    Copies,
}

/// Words that are drawn together at most.
const MOST_WORDS: usize = 1 << 15;

impl Held {
    /// Knows of no words yet.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            density: Density::NONE,
            charge: 0,
            stretch: Stretch::One,
            form: Form::Plain,
            words: 0,
            distance: 0,
            carried: 0,
            returns: Returns::NEVER,
        }
    }

    /// The next ticks.
    #[inline(always)]
    pub fn fill(&mut self, modulator: &mut FirstOrder, density: Density, previous: &[u32], words: &mut [u32]) {
        self.fill_as(modulator, density, Decision::PLAIN, previous, words);
    }

    /// The same, in decisions of another length.
    #[inline(always)]
    pub fn fill_as(
        &mut self,
        modulator: &mut FirstOrder,
        density: Density,
        Decision { stretch, .. }: Decision,
        previous: &[u32],
        words: &mut [u32],
    ) {
        if !self.stands(modulator, density, stretch) || !self.draw(modulator, previous, words) {
            self.draw_slowly(modulator, density, stretch, previous, words);
        }
    }

    /// Whether the words so far were drawn so, and nothing has changed the charge since.
    #[inline(always)]
    fn stands(&self, modulator: &FirstOrder, density: Density, stretch: Stretch) -> bool {
        self.density == density && self.charge == modulator.charge() && modulator.owed() == 0 && self.stretch == stretch
    }

    /// The fast way, if it is prepared.
    #[inline(always)]
    fn draw(&mut self, modulator: &mut FirstOrder, previous: &[u32], words: &mut [u32]) -> bool {
        words.len() <= MOST_WORDS
            && match self.form {
                Form::Plain | Form::Refused => false,
                Form::Pulses => self.draw_pulses(modulator, words),
                Form::Copies => self.draw_copies(modulator, previous, words),
            }
    }

    /// So many ticks are drawn.
    #[inline(always)]
    fn go_on(&mut self, modulator: &mut FirstOrder, ticks: u32) {
        self.returns.due = self.returns.due.wrapping_sub(ticks);
        modulator.skip(self.density, ticks >> self.stretch.shift());
        self.charge = modulator.charge();
    }

    const fn ones_are_rarer(&self) -> bool {
        self.density.to_bits() >> 31 == 0
    }
}

impl Default for Held {
    fn default() -> Self {
        Self::new()
    }
}

const _: () = assert!(size_of::<Held>() == 48);
