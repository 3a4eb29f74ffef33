//! The fast profile of the first order, for densities that stand for a while.

mod copy;
mod descent;
mod returns;

use core::cell::Cell;

use super::flood::flood;
use super::{Decision, Density, FirstOrder, Stretch};
use copy::Copy;
use descent::{convergent, ones};
use returns::{FAR, Returns};

/// What a first-order channel keeps so that buffers of a density that stands cost a fraction: the *fast* profile, beside a
/// [`FirstOrder`], which alone is the *small* one. **The stream is the same, bit for bit.**
#[derive(Clone, Debug)]
pub struct Held {
    /// What the words so far were drawn with, and what they left.
    density: Density,
    charge: u32,
    stretch: Stretch,
    form: Form,
    /// Words drawn so.
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

/// Below this density, or as close to full, ones (or zeros) are put in one by one.
const SPARSE: u32 = 1 << 25;
/// Words from which a preparation for that pays at once.
const SPARSE_WORDS: usize = 8;
/// Words of history from which copies pay, and the most that they need.
const HISTORY: core::ops::RangeInclusive<usize> = 16..=64;
/// Words from which a preparation for copies pays at once, and how many of these are drawn plainly as history.
const AT_ONCE: usize = 96;
const FIRST: usize = 33;
/// The share of decisions, in units of 2^-32, from which corrections of copies come too often to pay.
const WIDEST: u32 = 1 << 27;
/// Words that are drawn together.
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
    pub fn fill(&mut self, modulator: &mut FirstOrder, density: Density, previous: &[u32], words: &mut [u32]) {
        self.fill_as(modulator, density, Decision::PLAIN, previous, words);
    }

    /// The same, in decisions of another length.
    pub fn fill_as(
        &mut self,
        modulator: &mut FirstOrder,
        density: Density,
        decision: Decision,
        previous: &[u32],
        words: &mut [u32],
    ) {
        let stretch = decision.stretch;
        let mut previous = previous;
        let mut words = words;
        let stands = self.density == density && self.charge == modulator.charge() && self.stretch == stretch;
        if !stands || modulator.owed() != 0 || words.len() > MOST_WORDS {
            (self.density, self.stretch, self.form, self.words) = (density, stretch, Form::Plain, 0);
        }
        if matches!(density, Density::NONE | Density::FULL) || modulator.owed() != 0 || words.len() > MOST_WORDS {
            modulator.fill_as(density, decision, words);
            self.charge = modulator.charge();
            return;
        }
        if self.form == Form::Plain {
            (previous, words) = self.prepare(modulator, previous, words);
        }
        self.draw(modulator, previous, words);
        self.charge = modulator.charge();
        self.words = self.words.saturating_add(words.len() as u16);
    }

    fn draw(&mut self, modulator: &mut FirstOrder, previous: &[u32], words: &mut [u32]) {
        let ticks = (words.len() as u32) << 5;
        let copy = Copy::from_ticks(self.distance.into());
        if self.returns.are_rare() && self.returns.due < ticks || self.form == Form::Copies && copy.reach() > previous.len() {
            self.form = Form::Plain;
        }
        match self.form {
            Form::Plain | Form::Refused => {
                modulator.fill_as(self.density, Decision { stretch: self.stretch, ..Decision::PLAIN }, words);
                return;
            }
            Form::Pulses => self.put_pulses(words),
            Form::Copies => self.copy(&copy, previous, words),
        }
        self.returns.due = self.returns.due.wrapping_sub(ticks);
        modulator.skip(self.density, ticks >> self.stretch.shift());
    }

    fn prepare<'a>(
        &mut self,
        modulator: &mut FirstOrder,
        previous: &'a [u32],
        words: &'a mut [u32],
    ) -> (&'a [u32], &'a mut [u32]) {
        let bits = self.density.to_bits();
        let (density, charge) = if bits >> 31 == 1 {
            (bits.wrapping_neg(), !modulator.charge())
        } else {
            (bits, modulator.charge())
        };
        let history = previous.len().min(self.words.into());
        if density < SPARSE {
            if words.len() >= SPARSE_WORDS || history >= SPARSE_WORDS {
                let (returns, due) = ones(density, charge).visits(self.stretch.shift(), 0, 0);
                self.returns = returns;
                self.returns.due = due.cast_unsigned();
                self.carried = 0;
                self.form = Form::Pulses;
            }
            return (previous, words);
        }
        if self.stretch > Stretch::Four {
            self.form = Form::Refused;
            return (previous, words);
        }
        if history >= *HISTORY.start() {
            self.prepare_copies(density, charge, history);
            return (previous, words);
        }
        let now = if words.len() >= AT_ONCE { FIRST } else { 0 };
        let (first, rest) = words.split_at_mut_checked(now).unwrap_or_default();
        if now == 0 {
            return (previous, rest);
        }
        modulator.fill_as(self.density, Decision { stretch: self.stretch, ..Decision::PLAIN }, first);
        self.words = FIRST as u16;
        let charge = if bits >> 31 == 1 { !modulator.charge() } else { modulator.charge() };
        self.prepare_copies(density, charge, FIRST);
        (first, rest)
    }

    #[inline(never)]
    fn prepare_copies(&mut self, density: u32, charge: u32, history: usize) {
        let shift = self.stretch.shift();
        let history = history.min(*HISTORY.end()) as u32;
        let before = (history << 5) >> shift;
        let charge = charge.wrapping_sub(before.wrapping_mul(density));
        let convergent = convergent(density, charge, before - 1);
        let Some((distance, burst)) = convergent.at_least_a_word(shift, WIDEST.min(density)) else {
            self.form = Form::Refused;
            return;
        };
        let (mut returns, mut due) = convergent.visits(shift, burst, before + 1);
        self.carried = 0;
        let long = 2 << shift;
        let mask = u32::MAX << (32 - long);
        while due < 0 {
            if due + long > 0 {
                self.carried = mask << due.unsigned_abs();
            }
            returns.due = 0;
            returns.advance();
            due = due.wrapping_add_unsigned(returns.due);
        }
        returns.due = due.cast_unsigned();
        self.returns = returns;
        self.distance = distance as u16;
        self.form = Form::Copies;
    }

    #[inline(never)]
    fn put_pulses(&mut self, words: &mut [u32]) {
        flood(words, (self.density.to_bits().cast_signed() >> 31).cast_unsigned());
        let mask = u32::MAX << (32 - self.stretch.ticks());
        let Returns { mut due, mut depth, step, back, near, extra, .. } = self.returns;
        while let Some(word) = words.get_mut((due >> 5) as usize) {
            *word ^= mask >> (due & 31);
            let (less, outside) = depth.overflowing_sub(back);
            depth = less;
            due = due.wrapping_add(near);
            if outside {
                depth = depth.wrapping_add(step);
                due = due.wrapping_add(extra);
            }
        }
        self.returns.due = due;
        self.returns.depth = depth;
    }

    #[inline(never)]
    fn copy(&mut self, copy: &Copy, previous: &[u32], words: &mut [u32]) {
        let words = Cell::from_mut(words).as_slice_of_cells();
        let mask = u32::MAX << (32 - 2 * self.stretch.ticks());
        let beyond = previous.len().wrapping_sub(copy.words);
        let mut before = copy.before(previous.get(beyond.wrapping_sub(1)).copied().unwrap_or(0));
        let old = previous.get(beyond..).unwrap_or_default();
        let mut at = 0;
        while at < words.len() {
            let ahead = if self.carried == 0 { (self.returns.due >> 5) as usize } else { at };
            let end = ahead.saturating_add(copy.words).min(words.len());
            if at < copy.words {
                let until = end.min(copy.words);
                let (from, to) = (old.get(at..until), words.get(at..until));
                before = copy.from_other(from.unwrap_or_default(), to.unwrap_or_default(), before);
                if end > until {
                    let (from, to) = (words.get(..end - until), words.get(until..end));
                    before = copy.from_same(from.unwrap_or_default(), to.unwrap_or_default(), before);
                }
            } else {
                let (from, to) = (words.get(at - copy.words..end - copy.words), words.get(at..end));
                before = copy.from_same(from.unwrap_or_default(), to.unwrap_or_default(), before);
            }
            if let Some(word) = words.get(at) {
                word.set(word.get() ^ self.carried);
            }
            self.carried = 0;
            self.correct(words.get(..end).unwrap_or_default(), mask);
            at = end;
        }
    }

    #[inline(always)]
    fn correct(&mut self, words: &[Cell<u32>], mask: u32) {
        loop {
            let due = self.returns.due;
            let at = (due >> 5) as usize;
            let Some(word) = words.get(at) else { return };
            word.set(word.get() ^ mask >> (due & 31));
            let over = (mask << 1) << (due & 31 ^ 31);
            if over != 0 {
                match words.get(at + 1) {
                    Some(next) => next.set(next.get() ^ over),
                    None => self.carried = over,
                }
            }
            self.returns.advance();
        }
    }
}

impl Default for Held {
    fn default() -> Self {
        Self::new()
    }
}

const _: () = assert!(size_of::<Held>() == 48 && FAR > 0);
