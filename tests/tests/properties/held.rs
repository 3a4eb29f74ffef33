//! The fast profile of the first order gives the plain one's stream, bit for bit.

use milliglow::density::{Decision, Density, Edge, FirstOrder, Held, Stretch};
use milliglow_tests::cases::{cases, densities};
use proptest::collection::vec;
use proptest::prelude::*;

/// Densities with both ends, and at and near ratios of small numbers, where copies are hardest.
fn hard_densities() -> impl Strategy<Value = Density> {
    let near = (1_u32..64, 1_u32..64, -70_000_i32..70_000, 0_u32..17);
    let near = near.prop_map(|(p, q, off, shift)| {
        let ratio = (u64::from(p.min(q)) << 32) / u64::from(p.max(q));
        Density::from_bits((ratio as u32).wrapping_add_signed(off >> shift))
    });
    let a_few = prop_oneof![
        0_u32..70,
        (0_u32..70).prop_map(|k| !k),
        (0_u32..32).prop_map(|k| 1 << k)
    ];
    prop_oneof![
        4 => densities(),
        4 => near,
        1 => a_few.prop_map(Density::from_bits),
    ]
}

fn stretches() -> impl Strategy<Value = Stretch> {
    let ticks = prop_oneof![3 => Just(1), 1 => Just(2), 1 => Just(4), 1 => Just(8), 1 => Just(16)];
    ticks.prop_map(|ticks| Stretch::from_ticks(ticks).expect("allowed"))
}

fn decision(stretch: Stretch) -> Decision {
    Decision {
        stretch,
        edge: Edge::NONE,
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn spans_of_buffers(
        phase: u32,
        length in prop_oneof![0_usize..12, 12_usize..200, Just(32), Just(64), Just(128)],
        spans in vec((hard_densities(), stretches(), 1_usize..40), 1..5),
    ) {
        let mut plain = FirstOrder::new(phase);
        let (mut fast, mut held) = (plain.clone(), Held::new());
        let (mut expected, mut words, mut previous) = (vec![0; length], vec![0; length], vec![0; length]);
        for (density, stretch, buffers) in spans {
            for buffer in 0..buffers {
                plain.fill_as(density, decision(stretch), &mut expected);
                held.fill_as(&mut fast, density, decision(stretch), &previous, &mut words);
                prop_assert_eq!(&words, &expected, "{:?} {:?} {}", density, stretch, buffer);
                prop_assert_eq!((fast.charge(), fast.owed()), (plain.charge(), plain.owed()));
                core::mem::swap(&mut words, &mut previous);
            }
        }
    }
}

/// A charge that a modulator is woken up with in the middle of a standing density, and words that are drawn in another way.
#[test]
fn what_happens_in_between_is_noticed() {
    for (density, length) in [(1 << 20, 32), (0x9E37_79B9, 32), (1 << 30, 128)] {
        let density = Density::from_bits(density);
        let mut plain = FirstOrder::new(5);
        let (mut fast, mut held) = (plain.clone(), Held::new());
        let mut halves = [vec![0; length], vec![0; length]];
        let mut expected = vec![0; length];
        for turn in 0..30 {
            if turn % 10 == 7 {
                plain.wake(density, turn << 20);
                fast.wake(density, turn << 20);
            }
            if turn % 10 == 4 {
                plain.fill(Density::from_bits(1 << 31), &mut expected);
                fast.fill(Density::from_bits(1 << 31), &mut halves[0]);
                held.forget();
            }
            plain.fill(density, &mut expected);
            halves.swap(0, 1);
            let [previous, words] = &mut halves;
            held.fill(&mut fast, density, previous, words);
            assert_eq!(*words, expected, "{turn}");
        }
    }
}
