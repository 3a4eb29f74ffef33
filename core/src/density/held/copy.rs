//! A shifted copy of words.

use core::cell::Cell;
use core::hint::black_box;

/// From words to as many others, `turn` ticks later, after what the word `before` has left; what the last one has left is returned.
///
/// Words that give and have left are turned by `turn`. In line, since a call more shows in short buffers.
#[inline(always)]
pub(super) fn from_other(from: &[u32], to: &[Cell<u32>], turn: u32, before: u32) -> u32 {
    copy(from, |word| *word, to, turn, before)
}

/// The same from cells, which the others may overlap, later ones.
#[inline(never)]
pub(super) fn from_same(from: &[Cell<u32>], to: &[Cell<u32>], turn: u32, before: u32) -> u32 {
    copy(from, Cell::get, to, turn, before)
}

#[inline(always)]
fn copy<T>(
    from: &[T],
    get: impl Fn(&T) -> u32,
    to: &[Cell<u32>],
    turn: u32,
    mut before: u32,
) -> u32 {
    let later = u32::MAX >> turn;
    each(from, to, |from, to| {
        let turned = get(from).rotate_right(turn);
        to.set(before ^ ((before ^ turned) & later));
        before = turned;
    });
    before
}

/// In blocks whose places the compiler does not know to be steps of one count, which would cost it its registers.
#[inline(always)]
fn each<T>(from: &[T], to: &[Cell<u32>], mut one: impl FnMut(&T, &Cell<u32>)) {
    let (from_blocks, from_rest) = from.as_chunks::<16>();
    let (to_blocks, to_rest) = to.as_chunks::<16>();
    for (from, to) in from_blocks.iter().zip(to_blocks) {
        let ([a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p], to) =
            (black_box(from), black_box(to));
        let [q, r, s, t, u, v, w, x, y, z, aa, ab, ac, ad, ae, af] = to;
        one(a, q);
        one(b, r);
        one(c, s);
        one(d, t);
        one(e, u);
        one(f, v);
        one(g, w);
        one(h, x);
        one(i, y);
        one(j, z);
        one(k, aa);
        one(l, ab);
        one(m, ac);
        one(n, ad);
        one(o, ae);
        one(p, af);
    }
    let (from_blocks, from_rest) = from_rest.as_chunks::<4>();
    let (to_blocks, to_rest) = to_rest.as_chunks::<4>();
    for (from, to) in from_blocks.iter().zip(to_blocks) {
        let ([a, b, c, d], [w, x, y, z]) = (black_box(from), black_box(to));
        one(a, w);
        one(b, x);
        one(c, y);
        one(d, z);
    }
    for (from, to) in from_rest.iter().zip(to_rest) {
        one(from, to);
    }
}
