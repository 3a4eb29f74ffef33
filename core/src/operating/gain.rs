//! A factor of 16 bits.

/// A factor of 1/2 to 32 767: `mantissa x power / 2^16`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(super) struct Gain {
    /// 2^15 + 1 to 2^16 (2^15 for one half).
    mantissa: u32,
    /// 1 to 2^15: a product costs a Cortex-M0 less than a shift that varies.
    power: u16,
}

impl Gain {
    /// From units of 2^-20, rounded down by less than 2^-15 of itself; none outside 1/2 to 32 767.
    pub(super) const fn from_q20_floor(bits: u64) -> Option<Self> {
        let octave = match bits.checked_ilog2() {
            Some(octave) if octave >= 19 && octave <= 34 => octave,
            _ => return None,
        };
        let (mantissa, exponent) = (bits >> (octave - 15), octave - 19);
        Some(if mantissa == 1 << 15 && exponent > 0 {
            Self {
                mantissa: 1 << 16,
                power: 1 << (exponent - 1),
            }
        } else {
            Self {
                mantissa: mantissa as u32,
                power: 1 << exponent,
            }
        })
    }

    pub(super) const fn differs(self, other: Self) -> bool {
        self.mantissa != other.mantissa || self.power != other.power
    }

    /// The product, rounded down, exact for a power of 2. Three 16 x 16 -> 32 bit products. The fraction must be at most 1
    /// above that whose product is 2^31, so that `fraction x power` stays below 2^32.
    #[inline(always)]
    pub(super) const fn of(self, fraction: u32) -> u32 {
        let shifted = fraction.wrapping_mul(self.power as u32);
        let low = ((shifted & 0xFFFF) * self.mantissa) >> 16;
        (shifted >> 16)
            .wrapping_mul(self.mantissa)
            .wrapping_add(low)
    }
}

#[cfg(test)]
mod tests {
    use super::Gain;

    /// Factors of all sizes, each with the fractions whose products are the largest allowed, 0 and 1.
    #[test]
    fn a_product_is_that_of_the_factor_rounded_down() {
        for k in 0..64_000_u64 {
            let bits = (1 << 19) + (k * k * k * 32) % ((32_767 << 20) - (1 << 19));
            let gain = Gain::from_q20_floor(bits).expect("in range");
            let exact = u64::from(gain.mantissa) * u64::from(gain.power);
            assert!(
                exact << 4 <= bits && bits - (exact << 4) < bits >> 15,
                "{bits}"
            );
            let most = ((1 << 47) / exact + 1).min(u64::from(u32::MAX));
            for fraction in [0, 1, most / 3, most - 1, most] {
                assert_eq!(
                    u64::from(gain.of(fraction as u32)),
                    (fraction * exact) >> 16,
                    "{bits}"
                );
            }
        }
    }
}
