//! Bit matrices turned over their diagonal, a word of rows at a time.
//!
//! *Source*: the exchange of ever smaller blocks is that of Warren, Hacker's Delight, section 7-3 (from memory).

/// In each half byte of four rows, bit `b` of row `r` and bit `r` of row `b` change places: eight matrices at once.
#[inline(always)]
pub(super) const fn transpose_4([a, b, c, d]: &mut [u32; 4]) {
    exchange::<2>(a, c);
    exchange::<2>(b, d);
    exchange::<1>(a, b);
    exchange::<1>(c, d);
}

/// In each byte of eight rows, bit `b` of row `r` and bit `r` of row `b` change places: four matrices at once.
///
/// Patterns instead of indices: no check of bounds remains at any opt-level. Out of line: sixteen rows use it twice.
#[inline(never)]
pub(super) const fn transpose_8([a, b, c, d, e, f, g, h]: &mut [u32; 8]) {
    exchange::<4>(a, e);
    exchange::<4>(b, f);
    exchange::<4>(c, g);
    exchange::<4>(d, h);
    exchange::<2>(a, c);
    exchange::<2>(b, d);
    exchange::<2>(e, g);
    exchange::<2>(f, h);
    exchange::<1>(a, b);
    exchange::<1>(c, d);
    exchange::<1>(e, f);
    exchange::<1>(g, h);
}

/// The same in each half word of sixteen rows, the lower eight first: two matrices at once.
#[inline(always)]
pub(super) fn transpose_16([low, high]: &mut [[u32; 8]; 2]) {
    for (low, high) in low.iter_mut().zip(high.iter_mut()) {
        exchange::<8>(low, high);
    }
    transpose_8(low);
    transpose_8(high);
}

/// The upper `BITS` of each `2 BITS` of one row change places with the lower ones of the other.
#[inline(always)]
const fn exchange<const BITS: u32>(low: &mut u32, high: &mut u32) {
    let lower_ones = const { u32::MAX / ((1 << BITS) + 1) };
    let different = ((*low >> BITS) ^ *high) & lower_ones;
    *low ^= different << BITS;
    *high ^= different;
}
