//! Ones of a one-bit stream and where they stand, a dozen ticks at a time.

/// Ticks that the table takes at once.
const STEP: u32 = 12;

/// Three counts side by side, 22 bits apart: ones, sum of j, sum of j (j - 1) / 2, j the tick of each one.
///
/// In this binomial form a shift of all j by n is a multiplication by `1 + n X + n (n - 1) / 2 X^2`, X = 2^22.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Packed(u64);

const FIELD: u32 = 22;

impl Packed {
    /// A one at tick `n`.
    const fn one(n: u32) -> Self {
        let n = n as u64;
        Self(1 | n << FIELD | (n * n.saturating_sub(1) / 2) << (2 * FIELD))
    }

    #[inline]
    fn field(self, index: u32) -> f64 {
        (self.0 >> (index * FIELD) & ((1 << FIELD) - 1)) as f64
    }
}

static TABLE: [Packed; 1 << STEP] = table();

const fn table() -> [Packed; 1 << STEP] {
    let mut table = [Packed(0); 1 << STEP];
    let mut bits = 1;
    while bits < table.len() {
        let tick = STEP - 1 - bits.trailing_zeros();
        table[bits] = Packed(table[bits & (bits - 1)].0 + Packed::one(tick).0);
        bits += 1;
    }
    table
}

/// Integrals of light, 1 where the bit is one, over time in ticks: of light, light x t and light x t^2.
pub(super) type Moments = [f64; 3];

/// Ticks taken at once.
const MOST_TICKS: u32 = 32;

/// Moments of `ticks` ticks from tick `from` of the words on, times counted from there.
///
/// The words reach one word beyond the last tick's.
#[inline]
pub(super) fn moments(words: &[u32], from: usize, ticks: u32) -> Moments {
    let mut sum = integrals(count(words, from, ticks.min(MOST_TICKS)));
    let mut begin = MOST_TICKS;
    while begin < ticks {
        let counts = count(words, from + begin as usize, MOST_TICKS.min(ticks - begin));
        let [light, first, second] = integrals(counts);
        let n = f64::from(begin);
        sum[0] += light;
        sum[1] += first + n * light;
        sum[2] += second + 2.0 * n * first + n * n * light;
        begin += MOST_TICKS;
    }
    sum
}

/// Counts at most 32 ticks: three steps of the table, whatever the number, so that nothing branches.
#[inline]
fn count(words: &[u32], from: usize, ticks: u32) -> Packed {
    let pair = u64::from(words[from / 32]) << 32 | u64::from(words[from / 32 + 1]);
    let kept = pair << (from % 32) & !(u64::MAX >> ticks);
    let step = |n: u32| TABLE[(kept >> (64 - STEP - n)) as usize % TABLE.len()].0;
    let second = step(STEP).wrapping_mul(const { Packed::one(STEP).0 });
    let third = step(2 * STEP).wrapping_mul(const { Packed::one(2 * STEP).0 });
    Packed(step(0).wrapping_add(second).wrapping_add(third))
}

/// Each one spans its tick: the integrals of 1, t, t^2 from j to j + 1 are 1, j + 1/2, j^2 + j + 1/3.
#[inline]
fn integrals(counts: Packed) -> Moments {
    let (ones, places, pairs) = (counts.field(0), counts.field(1), counts.field(2));
    [
        ones,
        places + ones / 2.0,
        2.0 * (pairs + places) + ones / 3.0,
    ]
}

/// Whether the light is on at a tick.
#[inline]
pub(super) fn is_on(words: &[u32], tick: usize) -> bool {
    words[tick / 32] << (tick % 32) >> 31 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_agree_with_adding_tick_by_tick() {
        let mut state = 1u32;
        let words: Vec<u32> = (0..8)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                state ^ state >> 15
            })
            .chain([u32::MAX; 8])
            .collect();
        for from in [0, 1, 31, 33, 200, 255] {
            for ticks in [0, 1, 11, 12, 13, 24, 25, 32, 33, 100, 200] {
                let mut plain = [0.0; 3];
                for j in (0..ticks).filter(|&j| is_on(&words, from + j as usize)) {
                    let (begin, end) = (f64::from(j), f64::from(j + 1));
                    plain[0] += 1.0;
                    plain[1] += (end.powi(2) - begin.powi(2)) / 2.0;
                    plain[2] += (end.powi(3) - begin.powi(3)) / 3.0;
                }
                let found = moments(&words, from, ticks);
                for (found, plain) in found.iter().zip(plain) {
                    assert!((found - plain).abs() <= 1e-9 * plain, "{from} {ticks}");
                }
            }
        }
    }
}
