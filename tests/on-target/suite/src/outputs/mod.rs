//! The forms that peripherals take: words of random ticks in each, as numbers, and through the traits of `embedded-hal`.

mod halves;
mod spi;

use milliglow::constant;
use milliglow::density::{DitherWidth, Edge};
use milliglow::output::{
    BitOrder, Duties, PortWord, Run, RunLengths, port_ticks, port_words, set_reset, set_reset_words,
};
use milliglow::requantise::{Order, TimerPwm};

use crate::random::Random;
use crate::streams::density;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    report("bit orders", bit_orders());
    report("port words", all_port_words());
    report("run lengths", run_lengths());
    report("duties of channels", duties());
    report("halves of a buffer", halves::played());
    report("words to a shift output", spi::written());
}

/// Ticks that change seldom, often, or not at all.
fn word(random: &mut Random) -> u32 {
    match random.next() % 4 {
        0 => 0,
        1 => u32::MAX,
        2 => random.next() & random.next() & random.next(),
        _ => random.next(),
    }
}

fn bit_orders() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(40));
    for order in [
        BitOrder::MostSignificantFirst,
        BitOrder::LeastSignificantFirst,
    ] {
        for _ in 0..1_000 {
            let mut words = [(); 3].map(|()| word(&mut random));
            hash.words(words.map(|word| order.word(word)));
            hash.words(words.map(|word| u32::from_le_bytes(order.bytes(word))));
            order.words(&mut words);
            hash.words(words);
        }
    }
    hash.value()
}

/// Each way of turning: of four, eight, nine and sixteen channels.
fn all_port_words() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(41));
    for _ in 0..400 {
        turned::<u8, 1>(&mut random, &mut hash);
        turned::<u8, 4>(&mut random, &mut hash);
        turned::<u8, 8>(&mut random, &mut hash);
        turned::<u16, 3>(&mut random, &mut hash);
        turned::<u16, 9>(&mut random, &mut hash);
        turned::<u32, 7>(&mut random, &mut hash);
        turned::<u32, 16>(&mut random, &mut hash);
        hash.word(set_reset(random.next() as u16, random.next() as u16));
    }
    hash.value()
}

fn turned<W: PortWord + Default + Into<u32>, const N: usize>(random: &mut Random, hash: &mut Hash) {
    let words = [(); N].map(|()| word(random));
    let mut ticks = [W::default(); 32];
    port_words(&words, &mut ticks);
    hash.words(ticks.map(Into::into));
    let mut pins = [0; 32];
    set_reset_words(&words, &mut pins);
    hash.words(pins);
    // A second block, for which there are no words.
    let mut blocks = [[W::default(); 32]; 2];
    port_ticks(words.each_ref().map(core::slice::from_ref), &mut blocks);
    hash.words(blocks.into_iter().flatten().map(Into::into));
}

fn run_lengths() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(42));
    for most in [0, 1, 31, 32, 1_000, u16::MAX] {
        let mut lengths = RunLengths::new(most);
        for _ in 0..300 {
            let words = [(); 4].map(|()| word(&mut random));
            lengths.feed(&words, |run: Run| {
                hash.words([run.on, run.off, run.ticks()].map(u32::from));
            });
            hash.word(lengths.pending().ticks().into());
        }
    }
    hash.value()
}

const TIMERS: [TimerPwm; 3] = [
    constant!(TimerPwm::new(8, Order::Rounding, None)),
    constant!(TimerPwm::new(10, Order::First, Some(DitherWidth::ONE_STEP))),
    constant!(TimerPwm::new(16, Order::Second, None)),
];

fn duties() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(43));
    hash.word(Duties::new(TIMERS, 0).is_err().into());
    let Ok(mut duties) = Duties::new(TIMERS, 43) else {
        return 0;
    };
    for k in 0..4_000 {
        let densities = [(); 3].map(|()| density(&mut random, k / 8));
        let edges = [(); 3]
            .map(|()| Edge::from_bits(random.next().cast_signed() >> 2).unwrap_or(Edge::NONE));
        hash.words(duties.next(&densities));
        hash.words(duties.next_with_edges(&densities, &edges));
    }
    hash.value()
}
