//! When to prepare for the fast way, and how.

use super::descent::{convergent, ones};
use super::{Form, Held, MOST_WORDS};
use crate::density::{Decision, Density, FirstOrder, Stretch};

/// Below this density, or as close to full, ones (or zeros) are put in one by one; in longer decisions there are fewer of them.
const SPARSE: u32 = 1 << 25;
const SPARSE_STRETCHED: u32 = 1 << 27;
/// Words from which a preparation for that pays at once.
const SPARSE_WORDS: usize = 8;
/// Words of history from which copies pay, and the most that they need.
const LEAST_HISTORY: usize = 16;
const MOST_HISTORY: usize = 127;
/// Ticks of that.
const LONGEST: u32 = 32 * MOST_HISTORY as u32;
/// Words from which a preparation for copies pays at once, and how many of these are drawn plainly as history.
const AT_ONCE: usize = 96;
const FIRST: usize = 33;
/// The share of decisions, in units of 2^-32, from which corrections of copies come too often to pay.
const WIDEST: u32 = 1 << 27;

impl Held {
    /// Not prepared: prepares if that pays, draws plainly what must be.
    #[cold]
    #[inline(never)]
    pub(super) fn draw_slowly(
        &mut self,
        modulator: &mut FirstOrder,
        density: Density,
        stretch: Stretch,
        previous: &[u32],
        words: &mut [u32],
    ) {
        if !self.stands(modulator, density, stretch) {
            (self.density, self.stretch, self.form, self.words) =
                (density, stretch, Form::Plain, 0);
        }
        let steady = density == Density::NONE || density == Density::FULL;
        if steady || modulator.owed() != 0 || words.len() > MOST_WORDS {
            modulator.fill_as(
                density,
                Decision {
                    stretch,
                    ..Decision::PLAIN
                },
                words,
            );
            (self.charge, self.words) = (modulator.charge(), 0);
            return;
        }
        let plainly = self.prepare(modulator, previous, words.len());
        let (mut previous, mut rest) = (previous, words);
        if plainly > 0 {
            let (first, others) = rest.split_at_mut_checked(plainly).unwrap_or_default();
            self.draw_plainly(modulator, first);
            if others.is_empty() {
                return;
            }
            self.prepare_copies(modulator.charge(), plainly);
            (previous, rest) = (first, others);
        }
        if !self.draw(modulator, previous, rest) {
            self.draw_plainly(modulator, rest);
        }
        if plainly > 0 && self.form == Form::Copies && self.returns.next() < LONGEST {
            // The next words have more history, enough for a better approximation.
            (self.form, self.words) = (Form::Plain, MOST_HISTORY as u16);
        }
    }

    #[inline(always)]
    fn draw_plainly(&mut self, modulator: &mut FirstOrder, words: &mut [u32]) {
        match self.stretch {
            Stretch::One => modulator.fill_ticks(self.density, words),
            stretch => modulator.fill_as(
                self.density,
                Decision {
                    stretch,
                    ..Decision::PLAIN
                },
                words,
            ),
        }
        self.charge = modulator.charge();
        self.words = self.words.saturating_add(words.len() as u16);
    }

    /// Prepares now, or says after how many words to.
    fn prepare(&mut self, modulator: &FirstOrder, previous: &[u32], words: usize) -> usize {
        if self.form == Form::Refused {
            return words;
        }
        let history = previous.len().min(self.words.into());
        let sparse = if self.stretch < Stretch::Four {
            SPARSE
        } else {
            SPARSE_STRETCHED
        };
        if self.rarer() < sparse {
            if words < SPARSE_WORDS && history < SPARSE_WORDS {
                return words;
            }
            self.prepare_pulses(modulator.charge());
            return 0;
        }
        if self.stretch > Stretch::Four {
            return words;
        }
        if history >= LEAST_HISTORY {
            self.prepare_copies(modulator.charge(), history);
            return 0;
        }
        if words >= AT_ONCE { FIRST } else { words }
    }

    /// Whether ones are rare enough to be put in one by one.
    pub(super) const fn is_rare(&self) -> bool {
        self.density.to_bits() < SPARSE
    }

    /// The density of the rarer decisions, at most a half.
    const fn rarer(&self) -> u32 {
        let bits = self.density.to_bits();
        if self.ones_are_rarer() {
            bits
        } else {
            bits.wrapping_neg()
        }
    }

    /// The charge of the rarer decisions.
    const fn charge_of_rarer(&self, charge: u32) -> u32 {
        if self.ones_are_rarer() {
            charge
        } else {
            !charge
        }
    }

    pub(super) fn prepare_pulses(&mut self, charge: u32) {
        let ones = ones(self.rarer(), self.charge_of_rarer(charge));
        let (returns, due) = ones.visits(self.stretch.shift(), 0, 0);
        self.returns = returns;
        self.returns.due = due.cast_unsigned();
        self.form = Form::Pulses;
    }

    fn prepare_copies(&mut self, charge: u32, history: usize) {
        let shift = self.stretch.shift();
        let ticks = (history.min(MOST_HISTORY) as u32) << 5;
        let decisions = ticks >> shift;
        let density = self.rarer();
        // Where it was as the history began: no visit in it may be missed, nor one whose burst began there.
        let charge = self
            .charge_of_rarer(charge)
            .wrapping_sub(decisions.wrapping_mul(density));
        let convergent = convergent(density, charge, decisions - 1);
        let Some((distance, burst)) = convergent.way_back(shift, WIDEST.min(density), ticks) else {
            self.form = Form::Refused;
            return;
        };
        let (returns, due) = convergent.visits(shift, burst, decisions + 1);
        (self.returns, self.carried) = (returns, 0);
        self.skip_past(due, 2 << shift);
        self.distance = distance as u16;
        self.form = Form::Copies;
    }

    /// Leaves out visits of the past, `long` ticks each, from one that is due then.
    fn skip_past(&mut self, mut due: i32, long: i32) {
        while due < 0 {
            if due + long > 0 {
                self.carried = (u32::MAX << (32 - long)) << due.unsigned_abs();
            }
            self.returns.due = 0;
            self.returns.advance();
            due = due.wrapping_add_unsigned(self.returns.due);
        }
        self.returns.due = due.cast_unsigned();
    }
}
