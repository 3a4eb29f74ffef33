//! What dithers do to an idle line: that of first order just beside a third of full, at three times what the density is beside it.

use core::f64::consts::TAU;

use super::{Density, DitherWidth, Dithered, FirstOrder, Lfsr32, NoiseSource};

const TICKS: u32 = 1 << 16;
const WORDS: usize = TICKS as usize / 32;
type Words = [u32; WORDS];
/// In units of 2^-16.
const BESIDE_A_THIRD: u32 = 21_882;
const LINE: u32 = 3 * BESIDE_A_THIRD % TICKS;
const DENSITY: Density = Density::from_bits(BESIDE_A_THIRD << 16);

/// Its amplitude over the mean, and that of the noise nearby.
fn line_and_noise(words: &[u32]) -> (f64, f64) {
    let ones = || (0..TICKS).filter(|tick| words[(tick / 32) as usize] << (tick % 32) >> 31 == 1);
    let amplitude = |line: u32| {
        let (mut real, mut imaginary) = (0.0, 0.0);
        for tick in ones() {
            let angle = TAU * f64::from(line * tick % TICKS) / f64::from(TICKS);
            (real, imaginary) = (real + angle.cos(), imaginary + angle.sin());
        }
        2.0 * f64::hypot(real, imaginary) / ones().count() as f64
    };
    let near = [5, 7, 9, 11, 13, 17].map(|by| amplitude(LINE + by) + amplitude(LINE - by));
    (amplitude(LINE), near.iter().sum::<f64>() / 12.0)
}

/// A number a word, 2^-shift steps wide, takes the place of the one before in the charge of first order, but where that would make or take a pulse.
fn moved_a_word(shift: u32) -> Words {
    let mut noise = Lfsr32::new(1).unwrap();
    let (mut charge, mut dither) = (1_i64 << 31, 0);
    let mut word = || {
        let next = i64::from(noise.next().cast_signed() >> shift);
        if (0..1 << 32).contains(&(charge + next - dither)) {
            (charge, dither) = (charge + next - dither, next);
        }
        let mut modulator = FirstOrder::new(charge as u32);
        let word = modulator.next_word(DENSITY);
        charge = modulator.charge().into();
        word
    };
    [(); WORDS].map(|()| word())
}

/// A number held for a word in place of one a tick.
struct Held(Lfsr32, u32, u32);

impl NoiseSource for Held {
    fn next(&mut self) -> u32 {
        if self.2.is_multiple_of(32) {
            self.1 = self.0.next();
        }
        self.2 += 1;
        self.1
    }
}

fn dithered(noise: &mut impl NoiseSource) -> Words {
    let mut words = [0; WORDS];
    Dithered::new(DitherWidth::ONE_STEP, 1 << 31).fill(DENSITY, &mut words, noise);
    words
}

#[test]
fn dither_takes_a_line_away_and_cheaper_ones_leave_it_or_raise_the_noise() {
    let mut plain = [0; WORDS];
    FirstOrder::new(0).fill(DENSITY, &mut plain);
    let (line, noise) = line_and_noise(&plain);
    assert!(line > 3.3e-3 && noise < 1e-5, "{line} {noise}");

    let number = || Lfsr32::new(1).unwrap();
    let (a_tick, quiet) = line_and_noise(&dithered(&mut number()));
    assert!(a_tick < 0.15 * line && quiet < 3e-4, "{a_tick} {quiet}");

    let (narrow, _) = line_and_noise(&moved_a_word(8));
    assert!(narrow > 0.95 * line, "{narrow}");
    let (wide, louder) = line_and_noise(&moved_a_word(0));
    assert!(
        wide < 0.25 * line && louder > 2.0 * quiet,
        "{wide} {louder}"
    );
    let (_, loudest) = line_and_noise(&dithered(&mut Held(number(), 0, 0)));
    assert!(loudest > 4.0 * quiet, "{loudest}");
}
