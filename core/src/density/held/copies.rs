//! Words copied from earlier ones, with the decisions changed that differ.

use core::cell::Cell;

use super::Held;
use super::copy::{from_other, from_same};
use crate::density::FirstOrder;

/// Whence words are copied.
struct Source<'a> {
    /// The words before these.
    old: &'a [u32],
    /// How far a copy goes back, in words and ticks.
    back: usize,
    turn: u32,
    /// What the word before the next has left, turned.
    before: u32,
}

/// Ticks that a copy goes back from which changes are made in the copies of a change as well, instead of before it is copied.
const FAR_BACK: u32 = 128;

impl Held {
    /// False where the previous words are not enough, or visits too rare to be counted and one is due.
    #[inline(never)]
    pub(super) fn draw_copies(
        &mut self,
        modulator: &mut FirstOrder,
        previous: &[u32],
        words: &mut [u32],
    ) -> bool {
        let ticks = (words.len() as u32) << 5;
        let (back, turn) = ((self.distance >> 5) as usize, u32::from(self.distance) & 31);
        let Some((earlier, old)) = previous.split_at_checked(previous.len().wrapping_sub(back))
        else {
            return false;
        };
        let before = earlier.last().copied().unwrap_or(0).rotate_right(turn);
        if turn > 0 && earlier.is_empty() || self.returns.due < ticks && self.returns.are_rare() {
            return false;
        }
        let mut source = Source {
            old,
            back,
            turn,
            before,
        };
        let words = Cell::from_mut(words).as_slice_of_cells();
        if u32::from(self.distance) >= FAR_BACK {
            source.copy_all(words);
            if self.carried != 0 || self.returns.due < ticks {
                self.correct(words, 0);
            }
        } else {
            self.copy_in_parts(&mut source, words);
        }
        self.go_on(modulator, ticks);
        true
    }

    /// As far at a time as no visit interferes: that is a copy's way beyond the next visit.
    #[cold]
    #[inline(never)]
    fn copy_in_parts(&mut self, source: &mut Source<'_>, words: &[Cell<u32>]) {
        let mut at = 0;
        while at < words.len() {
            let free = if self.carried == 0 {
                (self.returns.due >> 5) as usize
            } else {
                at
            };
            let end = free.wrapping_add(source.back).min(words.len());
            source.copy(words, at, end);
            self.correct(words.get(..end).unwrap_or_default(), (at as u32) << 5);
            at = end;
        }
    }

    /// Each visit changes two decisions, and what has been copied of them; words before `begun` are done.
    #[inline(never)]
    fn correct(&mut self, words: &[Cell<u32>], begun: u32) {
        let pair = u32::MAX << (32 - 2 * self.stretch.ticks());
        let distance = self.distance.into();
        if self.carried != 0 {
            change(words, begun, self.carried, distance);
        }
        self.carried = 0;
        let last = (words.len() as u32).wrapping_sub(1);
        while self.returns.due >> 5 <= last {
            let due = self.returns.due;
            if due >> 5 == last {
                self.carried = (pair << 1) << (due & 31 ^ 31);
            }
            change(words, due, pair, distance);
            self.returns.advance();
        }
    }
}

/// Changes the ticks that `mask` marks from a tick on, and again every `distance`.
#[inline(always)]
fn change(words: &[Cell<u32>], mut at: u32, mask: u32, distance: u32) {
    while let Some((word, next)) = words.get((at >> 5) as usize..).and_then(<[_]>::split_first) {
        word.set(word.get() ^ mask >> (at & 31));
        let over = (mask << 1) << (at & 31 ^ 31);
        if over != 0
            && let Some(next) = next.first()
        {
            next.set(next.get() ^ over);
        }
        at = at.wrapping_add(distance);
    }
}

impl Source<'_> {
    #[inline(always)]
    fn copy_all(&mut self, words: &[Cell<u32>]) {
        match words.split_at_checked(self.back) {
            Some((first, rest)) => {
                self.before = from_other(self.old, first, self.turn, self.before);
                if !rest.is_empty() {
                    from_same(
                        words.get(..rest.len()).unwrap_or_default(),
                        rest,
                        self.turn,
                        self.before,
                    );
                }
            }
            None => {
                from_other(
                    self.old.get(..words.len()).unwrap_or_default(),
                    words,
                    self.turn,
                    self.before,
                );
            }
        }
    }

    /// Words from `at` to `end`, after those before.
    fn copy(&mut self, words: &[Cell<u32>], at: usize, end: usize) {
        let until = self.back.max(at).min(end);
        let (old, to) = (self.old.get(at..until), words.get(at..until));
        self.before = from_other(
            old.unwrap_or_default(),
            to.unwrap_or_default(),
            self.turn,
            self.before,
        );
        let (from, to) = (
            words.get(until.wrapping_sub(self.back)..end.wrapping_sub(self.back)),
            words.get(until..end),
        );
        self.before = from_same(
            from.unwrap_or_default(),
            to.unwrap_or_default(),
            self.turn,
            self.before,
        );
    }
}
