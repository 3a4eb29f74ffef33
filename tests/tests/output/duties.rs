//! The duties of timers are those of the timer's words.

use milliglow::density::{Decision, Density, Edge, Stretch, Timer};
use milliglow::output::Duties;
use milliglow::requantise::{Order, TimerPwm};
use milliglow_tests::cases::{cases, densities, dither_widths};
use milliglow_tests::stream::noise;
use proptest::array::uniform3;
use proptest::collection::vec;
use proptest::prelude::*;

fn orders() -> impl Strategy<Value = Order> {
    prop_oneof![
        Just(Order::Rounding),
        Just(Order::First),
        Just(Order::Second)
    ]
}

fn period(
    timer: &mut Timer,
    pwm: TimerPwm,
    density: Density,
    edge: Edge,
    seed: &mut milliglow::density::Lfsr32,
) -> u32 {
    let decision = Decision {
        stretch: Stretch::One,
        edge,
    };
    let mut words = vec![0; pwm.period() as usize / 32];
    timer.fill_as(density, decision, &mut words, seed);
    words.iter().map(|word| word.count_ones()).sum()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..cases() })]

    /// Without dither, channels a third of a step apart, with edges.
    #[test]
    fn three_channels(
        bits in 8_u8..=10, order in orders(), edge in 0_i32..i32::MAX, steps in vec(uniform3(densities()), 1..20),
    ) {
        let pwm = TimerPwm::new(bits, order, None).unwrap();
        let edge = Edge::from_bits(edge).unwrap();
        let mut duties = Duties::new([pwm; 3], 1).unwrap();
        let mut timers = [0, 1, 2].map(|k| Timer::new(pwm, k * 0x5555_5555));
        let mut unused = noise(1);
        for densities in steps {
            let given = duties.next_with_edges(&densities, &[edge; 3]);
            for ((timer, density), duty) in timers.iter_mut().zip(densities).zip(given) {
                prop_assert_eq!(period(timer, pwm, density, edge, &mut unused), duty);
            }
        }
    }

    #[test]
    fn dithered(order in orders(), width in dither_widths(), seed in 1_u32.., steps in vec(densities(), 1..40)) {
        let pwm = TimerPwm::new(8, order, Some(width)).unwrap();
        let mut duties = Duties::new([pwm], seed).unwrap();
        let (mut timer, mut source) = (Timer::new(pwm, 0), noise(seed));
        for density in steps {
            let [duty] = duties.next(&[density]);
            prop_assert_eq!(period(&mut timer, pwm, density, Edge::NONE, &mut source), duty);
        }
    }
}

#[test]
fn no_dither_starts_from_0() {
    let pwm = TimerPwm::new(8, Order::First, None).expect("allowed");
    let refused = Duties::new([pwm; 2], 0).map(|_| ());
    assert_eq!(refused, Err(milliglow::Error::Seed));
}
