//! Words that are all the same.

use core::hint::black_box;

/// Fills words with one: about 2.2 cycles of a Cortex-M0 each, where the compiler's own way, a call of a fill
/// by bytes, takes three times as long.
#[inline(always)]
pub(crate) fn flood(words: &mut [u32], word: u32) {
    flood_by_four(word, word, word, word, words);
}

/// Out of line, so that the four are not known to be the same: four registers then go out in one instruction.
#[inline(never)]
fn flood_by_four(a: u32, b: u32, c: u32, d: u32, words: &mut [u32]) {
    let is_whole = words.len().is_multiple_of(32);
    let (fours, rest) = words.as_chunks_mut::<4>();
    let (blocks, fours) = fours.as_chunks_mut::<8>();
    for [s, t, u, v, w, x, y, z] in blocks {
        *s = [a, b, c, d];
        *t = [a, b, c, d];
        *u = [a, b, c, d];
        *v = [a, b, c, d];
        *w = [a, b, c, d];
        *x = [a, b, c, d];
        *y = [a, b, c, d];
        *z = [a, b, c, d];
        // Another way out keeps the compiler from unrolling this further.
        if black_box(false) {
            return;
        }
    }
    if is_whole {
        return;
    }
    for four in fours {
        *four = [a, b, c, d];
        if black_box(false) {
            return;
        }
    }
    for (place, word) in rest.iter_mut().zip([a, b, c]) {
        *place = word;
    }
}
