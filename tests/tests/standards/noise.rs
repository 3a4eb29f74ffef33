//! The shift register of the dither against the table, and its length by powers of its step.

use milliglow::Error;
use milliglow::density::{Lfsr32, NoiseSource};
use milliglow_tests::data::rows;

#[test]
fn first_states_from_1() {
    let rows = rows("density_lfsr.csv");
    let row = rows
        .iter()
        .find(|row| row.text("bits") == "32")
        .expect("a row of 32 bits");
    let mut lfsr = Lfsr32::new(1).expect("not 0");
    for state in row.text("first_8_states_from_1").split(' ') {
        let state = u32::from_str_radix(state.trim_start_matches("0x"), 16).expect("hexadecimal");
        assert_eq!(lfsr.next(), state);
    }
    assert_eq!(Lfsr32::new(0).map(|_| ()), Err(Error::Seed));
}

/// A linear map on 32 bits: what it makes of each bit.
#[derive(Clone, PartialEq, Debug)]
struct Linear([u32; 32]);

impl Linear {
    fn one_step() -> Self {
        Self(std::array::from_fn(|bit| {
            Lfsr32::new(1 << bit).expect("not 0").next()
        }))
    }

    fn identity() -> Self {
        Self(std::array::from_fn(|bit| 1 << bit))
    }

    fn of(&self, state: u32) -> u32 {
        let bits = (0..32).filter(|bit| state >> bit & 1 == 1);
        bits.fold(0, |sum, bit| sum ^ self.0[bit as usize])
    }

    fn after(&self, first: &Self) -> Self {
        Self(first.0.map(|state| self.of(state)))
    }

    fn steps(count: u32) -> Self {
        let (mut power, mut result) = (Self::one_step(), Self::identity());
        for bit in 0..32 {
            if count >> bit & 1 == 1 {
                result = power.after(&result);
            }
            power = power.after(&power);
        }
        result
    }
}

/// 2^32 - 1 = 3 x 5 x 17 x 257 x 65 537 steps lead back to the start, and no proper divisor of them does.
#[test]
fn maximal_length() {
    assert_eq!(Linear::steps(u32::MAX), Linear::identity());
    for prime in [3, 5, 17, 257, 65_537] {
        assert_ne!(
            Linear::steps(u32::MAX / prime),
            Linear::identity(),
            "{prime}"
        );
    }
}

/// The powers stand for the register only if they agree with stepping it.
#[test]
fn powers_agree_with_stepping() {
    let mut lfsr = Lfsr32::new(0xACE1).expect("not 0");
    let stepped = (0..1_000).map(|_| lfsr.next()).last();
    assert_eq!(stepped, Some(Linear::steps(1_000).of(0xACE1)));
}
