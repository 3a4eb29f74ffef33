//! The words of a stream from its own earlier words.

use core::cell::Cell;

/// A way back in ticks, at least a word: whole words, and a shift.
pub(super) struct Copy {
    pub(super) words: usize,
    turn: u32,
    /// The part of a word that comes from the later of two.
    later: u32,
}

impl Copy {
    pub(super) const fn from_ticks(distance: u32) -> Self {
        Self {
            words: (distance >> 5) as usize,
            turn: distance & 31,
            later: u32::MAX >> (distance & 31),
        }
    }

    /// Words of history that it reads.
    pub(super) const fn reach(&self) -> usize {
        self.words + (self.turn > 0) as usize
    }

    /// A word before the first that is copied, ready to give its part.
    pub(super) const fn before(&self, word: u32) -> u32 {
        word.rotate_right(self.turn)
    }

    /// From words to as many others; what the last one has left is returned.
    #[inline(never)]
    pub(super) fn from_other(&self, from: &[u32], to: &[Cell<u32>], before: u32) -> u32 {
        self.copy(from, |word| *word, to, before)
    }

    /// The same from cells, which the others may overlap, later ones.
    #[inline(never)]
    pub(super) fn from_same(&self, from: &[Cell<u32>], to: &[Cell<u32>], before: u32) -> u32 {
        self.copy(from, Cell::get, to, before)
    }

    #[inline(always)]
    fn copy<T>(&self, from: &[T], get: impl Fn(&T) -> u32, to: &[Cell<u32>], mut before: u32) -> u32 {
        let Self { turn, later, .. } = *self;
        let mut one = |from: &T, to: &Cell<u32>| {
            let turned = get(from).rotate_right(turn);
            to.set(before ^ ((before ^ turned) & later));
            before = turned;
        };
        let (from_eights, from_rest) = from.as_chunks::<8>();
        let (to_eights, to_rest) = to.as_chunks::<8>();
        for (from, to) in from_eights.iter().zip(to_eights) {
            let [a, b, c, d, e, f, g, h] = from;
            let [s, t, u, v, w, x, y, z] = to;
            one(a, s);
            one(b, t);
            one(c, u);
            one(d, v);
            one(e, w);
            one(f, x);
            one(g, y);
            one(h, z);
        }
        for (from, to) in from_rest.iter().zip(to_rest) {
            one(from, to);
        }
        before
    }
}
