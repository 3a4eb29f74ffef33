//! Streams, bit for bit, as plain integer recursions and an independent toolbox give them.

use milliglow::density::{Density, DitherWidth, Dithered, FirstOrder, NoiseSource, SecondOrder};
use milliglow_tests::data::{bits, rows};
use milliglow_tests::stream::ticks;

const HALF_A_PULSE: u32 = 1 << 31;
const WORDS: usize = 128;

/// The 16-bit register of the dithered streams: Galois form, stepped before use.
struct Lfsr16(u16);

impl NoiseSource for Lfsr16 {
    fn next(&mut self) -> u32 {
        let feedback = (self.0 & 1).wrapping_neg() & 0xB400;
        self.0 = (self.0 >> 1) ^ feedback;
        u32::from(self.0) << 16
    }
}

fn stream(modulator: &str, density: Density) -> Vec<u32> {
    let mut words = vec![0; WORDS];
    match modulator {
        "acc1" => FirstOrder::new(0).fill(density, &mut words),
        "ef1" => FirstOrder::new(HALF_A_PULSE).fill(density, &mut words),
        "ef2" => SecondOrder::new(HALF_A_PULSE).fill(density, &mut words),
        "ef1_rpdf" => Dithered::new(DitherWidth::ONE_STEP, HALF_A_PULSE).fill(
            density,
            &mut words,
            &mut Lfsr16(0xACE1),
        ),
        _ => panic!("{modulator}"),
    }
    words
}

#[test]
fn bit_for_bit() {
    for row in rows("density_bits_index.csv") {
        let file = row.text("file");
        let density = Density::from_bits(row.parsed::<u32>("d") << 16);
        let got: Vec<bool> = ticks(&stream(row.text("modulator"), density)).collect();
        assert!(got == bits(file), "{file}");
        let ones = got.iter().filter(|&&one| one).count();
        assert_eq!(ones, row.parsed::<usize>("ones_in_4096"), "{file}");
    }
}
