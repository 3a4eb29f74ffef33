//! Words of a first-order stream whose density stands, looked up by the charge that they begin with: on a PC the fastest way to bits.

/// Ticks of a word.
const TICKS: usize = 64;
/// The upper bits of the charge that find a word: where only one begins among those charges, it is found at once.
const PLACE_BITS: u32 = 12;

/// The words that a density can give. As the charge rises from 0 to 1, each of the 64 ticks becomes a one, or ceases to be one, where a
/// multiple of the density comes to be whole: 65 words, in order of the charge.
///
/// *Exact*: bit for bit the stream of [`FirstOrder`](milliglow::density::FirstOrder), which a test compares. *Memory*: 5 kB. *Cost*: 3 ns a
/// bit to make; then two loads, an addition and a comparison for 64 ticks.
/// *Source*: words of a rotation (Morse and Hedlund 1940).
#[derive(Clone, Debug)]
pub struct StandingWords {
    density: u32,
    /// Word, and the charge from which on it no longer is.
    words: [(u64, u64); TICKS + 1],
    /// The first word among the charges that begin with these bits.
    places: [u8; 1 << PLACE_BITS],
}

impl StandingWords {
    /// Of a density in units of 2^-32, neither none nor full.
    #[must_use]
    pub fn new(density: u32) -> Self {
        let words = words(density);
        let mut places = [0; 1 << PLACE_BITS];
        let mut word = 0;
        for (place, bits) in places.iter_mut().zip(0_u64..) {
            while words[word].1 <= bits << (32 - PLACE_BITS) {
                word += 1;
            }
            *place = word as u8;
        }
        Self {
            density,
            words,
            places,
        }
    }

    /// The next words from a charge on, the earliest tick in the most significant bit; gives the charge after them.
    pub fn fill(&self, mut charge: u32, words: &mut [u64]) -> u32 {
        let a_word = self.density.wrapping_mul(TICKS as u32);
        for word in words {
            let mut place = usize::from(self.places[(charge >> (32 - PLACE_BITS)) as usize]);
            while self.words[place].1 <= u64::from(charge) {
                place += 1;
            }
            *word = self.words[place].0;
            charge = charge.wrapping_add(a_word);
        }
        charge
    }
}

/// In order of the charge.
fn words(density: u32) -> [(u64, u64); TICKS + 1] {
    // From this charge on one more pulse has come after so many ticks.
    let mut from: [u32; TICKS] =
        std::array::from_fn(|tick| density.wrapping_mul(tick as u32 + 1).wrapping_neg());
    from.sort_unstable();
    std::array::from_fn(|word| {
        let first = if word == 0 { 0 } else { from[word - 1] };
        let until = from.get(word).map_or(1 << 32, |&next| u64::from(next));
        (drawn(first, density), until)
    })
}

/// The word from a charge on, tick by tick.
fn drawn(mut charge: u32, density: u32) -> u64 {
    (0..TICKS).fold(0, |word, _| {
        let (next, one) = charge.overflowing_add(density);
        charge = next;
        word << 1 | u64::from(one)
    })
}

#[cfg(test)]
mod tests {
    use super::StandingWords;
    use milliglow::density::{Density, FirstOrder};

    /// Bits spread evenly over what 32 bits can be, at ratios of small numbers, and next to them.
    fn densities() -> impl Iterator<Item = u32> {
        let spread = (1..400_u32).map(|k| k.wrapping_mul(0x9e37_79b9));
        let ratios = (2..40_u64).flat_map(|q| (1..q).map(move |p| ((p << 32) / q) as u32));
        let powers = (0..32).map(|k| 1 << k);
        let near = ratios
            .chain(powers)
            .flat_map(|at: u32| [at.wrapping_sub(1), at, at.wrapping_add(1)]);
        let all = spread.chain(near).chain([u32::MAX - 1]);
        all.filter(|&density| density != 0 && density != u32::MAX)
    }

    #[test]
    fn words_are_those_of_the_core_bit_for_bit() {
        for (number, density) in densities().enumerate() {
            let mut charge =
                (number as u32).wrapping_mul(0x85eb_ca6b) & 0u32.wrapping_sub(number as u32 % 3);
            let mut core = FirstOrder::new(charge);
            let standing = StandingWords::new(density);
            for length in [1, 0, 7, 500] {
                let mut words = vec![0; length];
                charge = standing.fill(charge, &mut words);
                for word in words {
                    let [first, second] =
                        [(); 2].map(|()| core.next_word(Density::from_bits(density)));
                    assert_eq!(
                        word,
                        u64::from(first) << 32 | u64::from(second),
                        "{density:#x}"
                    );
                }
                assert_eq!(charge, core.charge());
            }
        }
    }
}
