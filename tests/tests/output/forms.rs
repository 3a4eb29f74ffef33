//! Bit words, port words and run lengths of the same luminaire, with 1 to 16 channels.

use milliglow::curve::Curve;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::output::{BitOrder, PortWord, Run, RunLengths, port_words, set_reset_words};
use milliglow::{Level, Recipe, Share};
use milliglow_tests::cases::{cases, fractions, modulations};
use milliglow_tests::stream::ticks;
use proptest::array::uniform16;
use proptest::prelude::*;

/// Words of N channels over two control steps, one word after another.
fn drawn<const N: usize>(lamp: &Lamp) -> Vec<[u32; N]> {
    let first = |all: [u32; 16]| std::array::from_fn(|k| Share::from_bits(all[k]));
    let modulation = std::array::from_fn(|k| lamp.modulation[k]);
    let configuration = Configuration::new(Curve::Lightness, modulation, 1);
    let mut luminaire = Luminaire::<N>::new(&configuration).expect("allowed");
    let (level, recipe) = (
        Level::from_bits(lamp.level),
        Recipe::new(first(lamp.shares)),
    );
    luminaire.fade_to(&Target { level, recipe }, Pace::new(2));
    let mut words = Vec::new();
    for _ in 0..2 {
        luminaire.control_step();
        words.extend((0..3).map(|_| luminaire.next_words()));
    }
    words
}

#[derive(Debug)]
struct Lamp {
    modulation: [milliglow::density::Modulation; 16],
    shares: [u32; 16],
    level: u16,
    longest: u16,
}

prop_compose! {
    fn lamps()(
        modulation in uniform16(modulations()), shares in uniform16(fractions()), level: u16, longest in 1_u16..200,
    ) -> Lamp {
        Lamp { modulation, shares, level, longest }
    }
}

/// Bit k of tick t, from the words one by one.
fn bit<const N: usize>(words: &[u32; N], tick: usize) -> u32 {
    (0..N).fold(0, |bits, k| bits | (words[k] << tick >> 31) << k)
}

fn port_agrees<W: PortWord + Default + Into<u32>, const N: usize>(lamp: &Lamp) {
    for words in drawn::<N>(lamp) {
        let mut port = [W::default(); 32];
        port_words(&words, &mut port);
        for (tick, said) in port.into_iter().enumerate() {
            assert_eq!(said.into(), bit(&words, tick), "{N} channels, tick {tick}");
        }
    }
}

/// Applied one after the other to a port whose other pins are on, set and reset words leave those pins alone.
fn set_reset_agrees<const N: usize>(lamp: &Lamp) {
    let others = 0xFFFF ^ ((1 << N) - 1);
    let mut pins = 0xFFFF;
    for words in drawn::<N>(lamp) {
        let mut port = [0; 32];
        set_reset_words(&words, &mut port);
        for (tick, said) in port.into_iter().enumerate() {
            assert_eq!(said & said >> 16, 0, "a pin is set and reset");
            pins = pins & !(said >> 16) | said & 0xFFFF;
            assert_eq!(
                pins,
                others | bit(&words, tick),
                "{N} channels, tick {tick}"
            );
        }
    }
}

fn shifts_agree<const N: usize>(lamp: &Lamp) {
    for word in drawn::<N>(lamp).into_iter().flatten() {
        let expected: Vec<bool> = ticks(&[word]).collect();
        let lowest_first = |bits: u64, count: u32| (0..count).map(move |bit| bits >> bit & 1 == 1);
        let order = BitOrder::LeastSignificantFirst;
        assert!(lowest_first(order.word(word).into(), 32).eq(expected.iter().copied()));
        let bytes = order.bytes(word).into_iter();
        assert!(
            bytes
                .flat_map(|byte| lowest_first(byte.into(), 8))
                .eq(expected.iter().copied())
        );
        let order = BitOrder::MostSignificantFirst;
        assert!(ticks(&[order.word(word)]).eq(expected.iter().copied()));
        let bytes = order.bytes(word).into_iter();
        let highest_first = |byte: u8| (0..8).rev().map(move |bit| byte >> bit & 1 == 1);
        assert!(bytes.flat_map(highest_first).eq(expected.iter().copied()));
    }
}

fn runs_agree<const N: usize>(lamp: &Lamp) {
    let drawn = drawn::<N>(lamp);
    for k in 0..N {
        let words: Vec<u32> = drawn.iter().map(|words| words[k]).collect();
        let mut lengths = RunLengths::new(lamp.longest);
        let mut runs = Vec::new();
        let (begin, end) = words.split_at(2);
        lengths.feed(begin, |run| runs.push(run));
        lengths.feed(end, |run| runs.push(run));
        assert!(
            runs.iter()
                .all(|run| (1..=lamp.longest).contains(&run.ticks()))
        );
        runs.push(lengths.pending());
        let spread = |run: Run| {
            let part = |lit, ticks| std::iter::repeat_n(lit, usize::from(ticks));
            part(true, run.on).chain(part(false, run.off))
        };
        assert!(
            runs.into_iter().flat_map(spread).eq(ticks(&words)),
            "channel {k}"
        );
    }
}

fn agrees<const N: usize>(lamp: &Lamp) {
    port_agrees::<u16, N>(lamp);
    port_agrees::<u32, N>(lamp);
    set_reset_agrees::<N>(lamp);
    shifts_agree::<N>(lamp);
    runs_agree::<N>(lamp);
}

macro_rules! for_each_count {
    ($check:ident, $lamp:expr; $($n:literal)*) => { $($check::<$n>($lamp);)* };
}

fn bytes_agree<const N: usize>(lamp: &Lamp) {
    port_agrees::<u8, N>(lamp);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..cases() })]

    #[test]
    fn with_1_to_16_channels(lamp in lamps()) {
        for_each_count!(agrees, &lamp; 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16);
        for_each_count!(bytes_agree, &lamp; 1 2 3 4 5 6 7 8);
    }
}

/// A single bit of a single channel ends up in its place and nowhere else.
#[test]
fn every_bit_has_its_place() {
    for (channel, tick) in (0..16).flat_map(|k| (0..32).map(move |t| (k, t))) {
        let mut words = [0; 16];
        words[channel] = 1 << (31 - tick);
        let mut port = [0_u16; 32];
        port_words(&words, &mut port);
        let mut expected = [0; 32];
        expected[tick] = 1 << channel;
        assert_eq!(port, expected);
    }
}
