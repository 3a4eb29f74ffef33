//! However a stream is drawn, by the tick, by the word or by the buffer, it is the same, bit for bit.

use core::ops::Range;

use milliglow::curve::Curve;
use milliglow::density::{Density, Dithered, FirstOrder, Modulator, SecondOrder};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Level, Recipe, Share};
use milliglow_tests::cases::{cases, densities, dither_widths, fractions, modulations};
use milliglow_tests::stream::noise;
use proptest::array::uniform3;
use proptest::collection::vec;
use proptest::prelude::*;

/// Densities, each held for some words.
fn spans() -> impl Strategy<Value = Vec<(Density, usize)>> {
    spans_of(0..9)
}

fn spans_of(words: Range<usize>) -> impl Strategy<Value = Vec<(Density, usize)>> {
    vec((densities(), words), 1..12)
}

fn word(mut next_bit: impl FnMut() -> bool) -> u32 {
    (0..32).fold(0, |word, _| word << 1 | u32::from(next_bit()))
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn first_order(phase: u32, spans in spans_of(0..70)) {
        let mut by_buffer = FirstOrder::new(phase);
        let (mut by_word, mut by_tick) = (by_buffer.clone(), by_buffer.clone());
        for (density, length) in spans {
            let mut words = vec![0; length];
            by_buffer.fill(density, &mut words);
            for drawn in words {
                prop_assert_eq!(drawn, by_word.next_word(density));
                prop_assert_eq!(drawn, word(|| by_tick.next_bit(density)));
            }
        }
    }

    #[test]
    fn second_order(phase: u32, spans in spans()) {
        let mut by_buffer = SecondOrder::new(phase);
        let mut by_tick = by_buffer.clone();
        for (density, length) in spans {
            let mut words = vec![0; length];
            by_buffer.fill(density, &mut words);
            for drawn in words {
                prop_assert_eq!(drawn, word(|| by_tick.next_bit(density)));
            }
        }
    }

    #[test]
    fn dithered(phase: u32, seed: u32, width in dither_widths(), spans in spans()) {
        let mut by_buffer = Dithered::new(width, phase);
        let mut by_tick = by_buffer.clone();
        let (mut buffer_noise, mut tick_noise) = (noise(seed), noise(seed));
        for (density, length) in spans {
            let mut words = vec![0; length];
            by_buffer.fill(density, &mut words, &mut buffer_noise);
            for drawn in words {
                prop_assert_eq!(drawn, word(|| by_tick.next_bit(density, &mut tick_noise)));
            }
        }
    }

    #[test]
    fn chosen_modulation(modulation in modulations(), phase: u32, seed: u32, spans in spans()) {
        let mut by_buffer = Modulator::new(modulation, phase);
        let mut by_word = by_buffer.clone();
        let (mut buffer_noise, mut word_noise) = (noise(seed), noise(seed));
        for (density, length) in spans {
            let mut words = vec![0; length];
            by_buffer.fill(density, &mut words, &mut buffer_noise);
            for drawn in words {
                let mut single = [0];
                by_word.fill(density, &mut single, &mut word_noise);
                prop_assert_eq!([drawn], single);
            }
        }
    }

    #[test]
    fn luminaire(
        modulation in uniform3(modulations()), seed in 1_u32.., shares in uniform3(fractions()), level: u16,
        length in 0_usize..20,
    ) {
        let configuration = Configuration::new(Curve::Lightness, modulation, seed);
        let mut by_buffer = Luminaire::new(&configuration).unwrap();
        let recipe = Recipe::new(shares.map(Share::from_bits));
        by_buffer.fade_to(&Target { level: Level::from_bits(level), recipe }, Pace::new(2));
        let mut by_word = by_buffer.clone();
        for _ in 0..3 {
            by_buffer.control_step();
            by_word.control_step();
            let mut buffers = [vec![0; length], vec![0; length], vec![0; length]];
            by_buffer.fill(buffers.each_mut().map(Vec::as_mut_slice));
            for k in 0..length {
                prop_assert_eq!(buffers.each_ref().map(|words| words[k]), by_word.next_words());
            }
        }
    }
}
