//! Halves of a buffer that are filled in time, late, and while they are sent.

use milliglow::output::{Half, Refill, SentHalves};

use crate::Hash;
use crate::random::Random;

pub(super) fn played() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(44));
    let (sent, mut refill) = (SentHalves::new(), Refill::new());
    let mut buffer = [[0_u32; 4]; 2];
    let mut playing = Half::First;
    for turn in 0..4_000 {
        sends(&sent, &mut playing, random.next() % 4);
        if let Some(half) = refill.due(&sent) {
            half.of(&mut buffer).fill(turn);
            sends(&sent, &mut playing, random.next() % 8 / 6);
            hash.word(refill.filled(&sent).into());
        }
        hash.words(buffer.into_iter().flatten());
        hash.word(refill.underruns());
    }
    hash.value()
}

/// So many halves begin; of the first of three nothing is heard.
fn sends(sent: &SentHalves, playing: &mut Half, halves: u32) {
    for left in (0..halves).rev() {
        *playing = match playing {
            Half::First => Half::Second,
            Half::Second => Half::First,
        };
        if left < 2 {
            sent.begun(*playing);
        }
    }
}
