//! Buffers of a port are what the words of the channels say, however they are drawn.

use milliglow::curve::Curve;
use milliglow::density::{DitherWidth, Held, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::output::{PortWord, port_ticks, port_words};
use milliglow::{Level, Recipe, Share};
use milliglow_tests::cases::{cases, fractions};
use proptest::array::uniform9;
use proptest::collection::vec;
use proptest::prelude::*;

/// Shares, of which now and then all are rare.
fn shares() -> impl Strategy<Value = [u32; 9]> {
    prop_oneof![
        uniform9(fractions()),
        uniform9(fractions().prop_map(|bits| bits >> 7)),
        uniform9(prop_oneof![Just(0), 0_u32..200]),
    ]
}

/// As memory holds them.
fn bytes_of(words: &[u32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_ne_bytes()).collect()
}

fn same<const N: usize, W: PortWord + Default + Into<u32>>(
    modulation: Modulation,
    spans: &[([u32; 9], usize)],
    blocks: usize,
) -> Result<(), TestCaseError> {
    let configuration = Configuration::new(Curve::Linear, [modulation; N], 3);
    let mut plain = Luminaire::new(&configuration).expect("allowed");
    let (mut fast, mut held) = (plain.clone(), [const { Held::new() }; N]);
    for (shares, buffers) in spans {
        let recipe = Recipe::new(core::array::from_fn(|k| Share::from_bits(shares[k])));
        for luminaire in [&mut plain, &mut fast] {
            luminaire.fade_to(
                &Target {
                    level: Level::FULL,
                    recipe,
                },
                Pace::AT_ONCE,
            );
            luminaire.control_step();
        }
        for _ in 0..*buffers {
            let mut expected = Vec::new();
            for _ in 0..blocks {
                let mut ticks = [W::default(); 32];
                port_words(&plain.next_words(), &mut ticks);
                let size = size_of::<W>();
                expected.extend(
                    ticks
                        .iter()
                        .flat_map(|&tick| tick.into().to_le_bytes().into_iter().take(size)),
                );
            }
            let mut words = vec![0xAAAA_AAAA; blocks * 8 * size_of::<W>()];
            fast.fill_port::<W>(&mut held, &mut words);
            prop_assert_eq!(bytes_of(&words), expected);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn of_a_luminaire(
        spans in vec((shares(), 1_usize..6), 1..4), blocks in 0_usize..40, plain: bool,
    ) {
        let modulation = if plain { Modulation::FirstOrder } else { Modulation::Dithered(DitherWidth::ONE_STEP) };
        same::<4, u8>(modulation, &spans, blocks)?;
        same::<9, u16>(modulation, &spans, blocks)?;
        same::<2, u32>(modulation, &spans, blocks)?;
    }

    #[test]
    fn of_words(words in vec(uniform9(any::<u32>()), 0..6), more in 0_usize..2) {
        let channels: [Vec<u32>; 9] = core::array::from_fn(|k| words.iter().map(|words| words[k]).collect());
        let mut ticks = vec![[u16::MAX; 32]; words.len() + more];
        port_ticks(channels.each_ref().map(Vec::as_slice), &mut ticks);
        for (block, drawn) in ticks.iter().zip(&words) {
            let mut expected = [0; 32];
            port_words(drawn, &mut expected);
            prop_assert_eq!(block, &expected);
        }
        prop_assert!(ticks[words.len()..].iter().flatten().all(|&tick| tick == 0));
    }
}

/// A rest that is no whole block stays as it is.
#[test]
fn a_rest_is_left_alone() {
    let configuration = Configuration::new(Curve::Linear, [Modulation::FirstOrder; 3], 3);
    let mut luminaire = Luminaire::new(&configuration).expect("allowed");
    let mut words = [7; 21];
    luminaire.fill_port::<u8>(&mut [const { Held::new() }; 3], &mut words);
    assert_eq!((&words[..16], &words[16..]), (&[0; 16][..], &[7; 5][..]));
}
