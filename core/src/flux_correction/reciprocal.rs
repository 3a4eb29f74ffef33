//! Quotients without a division.

use crate::fraction;

/// 1 / b for a b of 1 to 2^32 - 1.
///
/// *Error*: relative 2^-28. *Cost*: seven products of 32 bits.
#[derive(Clone, Copy)]
pub(super) struct Reciprocal {
    /// Half of 1 / b, b shifted up to 1/2 to 1: in units of 2^-32.
    half: u32,
    /// By how many bits b was shifted up.
    pub(super) shift: u32,
}

impl Reciprocal {
    /// Newton's steps from a straight line through 24/17 - 16/17 x, which is off by at most 1/17: 3.5e-3, 1.2e-5, 1.4e-10.
    pub(super) fn new(b: u32) -> Self {
        let shift = b.leading_zeros() & 31;
        let x = b << shift;
        // A power of two, 1 above all, is exact.
        if x == 1 << 31 {
            return Self {
                half: u32::MAX,
                shift,
            };
        }
        // 24/17 less a half of x's weight: above 1 only where x is near 1/2, and held there.
        let mut half = doubled(0xB4B4_B4B4_u32.wrapping_sub(fraction::product(0x7878_7878, x)));
        for _ in 0..3 {
            let rest = fraction::product(x, half).wrapping_neg();
            half = doubled(fraction::product(half, rest));
        }
        Self { half, shift }
    }

    /// a / b in units of 2^-32, for an a that is at most b.
    pub(super) fn of(self, a: u32) -> u32 {
        doubled(fraction::product(a << self.shift, self.half))
    }

    /// The same, a being `fraction` x 2^(31 - shift): the place of the point is the caller's.
    pub(super) fn half_of(self, fraction: u32) -> u32 {
        fraction::product(fraction, self.half)
    }
}

fn doubled(fraction: u32) -> u32 {
    if fraction >> 31 == 0 {
        fraction << 1
    } else {
        u32::MAX
    }
}

#[cfg(test)]
mod tests {
    use super::Reciprocal;

    #[test]
    fn a_quotient_is_within_its_bound() {
        let mut b: u32 = 1;
        for _ in 0..200_000 {
            b = b.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let b = (b >> (b & 15)).max(1);
            let full = Reciprocal::new(b).of(b);
            let error = (f64::from(u32::MAX - full)) / 4_294_967_296.0;
            assert!(error < 1.0 / 268_435_456.0, "{b}: {error}");
            let exact = f64::from(b / 3) / f64::from(b);
            let third = f64::from(Reciprocal::new(b).of(b / 3)) / 4_294_967_296.0;
            assert!(
                (third - exact).abs() < 2.0_f64.powi(-28),
                "{b}: {third} {exact}"
            );
        }
    }
}
