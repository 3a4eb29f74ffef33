//! Arithmetic on fractions of 32 bits whose largest value stands for 1.

use crate::Error;

/// The product of two fractions.
///
/// Within 2 units of 2^-32 of the exact product, never below it by a whole unit; exact when either factor is 0 or
/// full; never falls when a factor rises. Three 16 x 16 -> 32 bit products: on a Cortex-M0 a 64-bit product costs
/// three times as much.
pub(crate) const fn product(a: u32, b: u32) -> u32 {
    Factor::new(b).of(a)
}

/// A fraction that multiplies many, ready for it: two words, which a loop can keep in registers.
///
/// With halves of 16 bits the product is `a_high b_high + a_high b_low / 2^16 + a_low (b_high + 1) / 2^16`, the second rounded up:
/// that makes full x b equal b and a x full equal a, and makes up on average for low x low, left out.
#[derive(Clone, Copy)]
pub(crate) struct Factor {
    /// The higher half, and 1.
    high: u32,
    /// What the lower half lacks to 2^16.
    low: u32,
}

impl Factor {
    #[inline(always)]
    pub(crate) const fn new(fraction: u32) -> Self {
        Self {
            high: (fraction >> 16) + 1,
            low: (1 << 16) - (fraction & 0xFFFF),
        }
    }

    /// The product.
    #[inline(always)]
    pub(crate) const fn of(self, fraction: u32) -> u32 {
        let (high, low) = (fraction >> 16, fraction & 0xFFFF);
        let less = (high * self.low) >> 16;
        high.wrapping_mul(self.high)
            .wrapping_sub(less)
            .wrapping_add((low * self.high) >> 16)
    }
}

/// The whole product. Out of line in parts, so that no 64-bit product is made of them, which would cost more.
#[inline(never)]
pub(crate) const fn wide_product(a: u32, b: u32) -> u64 {
    let cross = part_product(a >> 16, b) as u64 + part_product(a, b >> 16) as u64;
    let ends = (part_product(a >> 16, b >> 16) as u64) << 32 | part_product(a, b) as u64;
    ends + (cross << 16)
}

/// Of the lower halves.
#[inline(never)]
const fn part_product(a: u32, b: u32) -> u32 {
    (a & 0xFFFF) * (b & 0xFFFF)
}

pub(crate) const fn from_ratio_nearest(numerator: u32, denominator: u32) -> Result<u32, Error> {
    if denominator == 0 || numerator > denominator {
        return Err(Error::Ratio);
    }
    let wide = ((numerator as u64) << 32) + (denominator / 2) as u64;
    let bits = wide / denominator as u64;
    Ok(if bits > u32::MAX as u64 {
        u32::MAX
    } else {
        bits as u32
    })
}

pub(crate) const fn as_f64(bits: u32) -> f64 {
    if bits == u32::MAX {
        1.0
    } else {
        bits as f64 / 4_294_967_296.0
    }
}

#[cfg(test)]
mod tests {
    use super::{product, wide_product};

    #[test]
    fn wide_product_is_exact() {
        let mut x = 1_u32;
        for _ in 0..10_000 {
            let y = x.wrapping_mul(0x9E37_79B9).rotate_left(7);
            assert_eq!(wide_product(x, y), u64::from(x) * u64::from(y));
            x = y ^ x >> 3;
        }
        let most = u64::from(u32::MAX);
        assert_eq!(wide_product(u32::MAX, u32::MAX), most * most);
    }

    #[test]
    fn product_is_exact_at_the_ends() {
        for x in [
            0,
            1,
            2,
            0xFFFF,
            0x1_0000,
            0x1_0001,
            0x8000_0000,
            u32::MAX - 1,
            u32::MAX,
        ] {
            assert_eq!(product(x, u32::MAX), x);
            assert_eq!(product(u32::MAX, x), x);
            assert_eq!(product(x, 0), 0);
        }
    }
}
