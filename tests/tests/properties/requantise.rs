//! Duties of a timer of few bits: the mean is exact, the error bounded, the ends are ends.

use milliglow::density::{Density, DitherWidth, Modulation, Modulator};
use milliglow::requantise::{Order, Requantiser, TimerPwm};
use milliglow_tests::cases::{cases, densities, dither_widths};
use milliglow_tests::stream::{PULSE, exact, noise, ticks};
use proptest::collection::vec;
use proptest::prelude::*;

fn pwm(bits: u8, order: Order, dither: Option<DitherWidth>) -> TimerPwm {
    TimerPwm::new(bits, order, dither).expect("8 to 16 bits")
}

/// The farthest of the duties' sum from the densities', in steps, half a step owed at the start.
fn farthest(pwm: TimerPwm, seed: u32, spans: &[(Density, usize)]) -> f64 {
    let (mut requantiser, mut noise) = (Requantiser::new(pwm, 1 << 31), noise(seed));
    let (mut owed, mut worst) = (0_i64, 0_i64);
    for &(density, periods) in spans {
        for _ in 0..periods {
            let duty = requantiser.next_duty(density, &mut noise);
            assert!(duty <= pwm.period());
            owed += (exact(density) << pwm.bits()) - i64::from(duty) * PULSE;
            worst = worst.max(owed.abs());
        }
    }
    worst as f64 / PULSE as f64
}

fn spans() -> impl Strategy<Value = Vec<(Density, usize)>> {
    vec((densities(), 1_usize..300), 1..20)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn first_order_errs_by_less_than_a_step(bits in 8_u8..=16, seed: u32, spans in spans(), width in dither_widths()) {
        let plain = farthest(pwm(bits, Order::First, None), seed, &spans);
        prop_assert!(plain <= 0.5, "{plain}");
        let dithered = farthest(pwm(bits, Order::First, Some(width)), seed, &spans);
        prop_assert!(dithered <= 1.0, "{dithered}");
    }

    #[test]
    fn second_order_errs_by_less_than_two_steps(bits in 8_u8..=16, seed: u32, spans in spans(), width in dither_widths()) {
        let plain = farthest(pwm(bits, Order::Second, None), seed, &spans);
        prop_assert!(plain < 2.0, "{plain}");
        let dithered = farthest(pwm(bits, Order::Second, Some(width)), seed, &spans);
        prop_assert!(dithered < 2.0, "{dithered}");
    }

    /// With a density of p / 2^(bits + 6) duties repeat after 64 periods, and their mean is the density.
    #[test]
    fn the_mean_over_a_period_is_exact(bits in 8_u8..=16, second: bool, part: u32) {
        let order = if second { Order::Second } else { Order::First };
        let density = Density::from_bits(part >> (26 - bits) << (26 - bits));
        let (mut requantiser, mut noise) = (Requantiser::new(pwm(bits, order, None), 1 << 31), noise(1));
        let mut sum = |periods: u32| (0..periods).map(|_| i64::from(requantiser.next_duty(density, &mut noise))).sum::<i64>();
        sum(64 * 64);
        let (periods, bound) = if second { (64 * 64, 2) } else { (64, 0) };
        let off = sum(periods) * PULSE - ((i64::from(periods) * exact(density)) << bits);
        prop_assert!(off.abs() <= bound * PULSE, "{off}");
    }

    #[test]
    fn ends_are_exact_from_any_state(bits in 8_u8..=16, seed: u32, spans in spans(), width in dither_widths(), second: bool) {
        let order = if second { Order::Second } else { Order::First };
        let pwm = pwm(bits, order, Some(width));
        let (mut requantiser, mut noise) = (Requantiser::new(pwm, 0), noise(seed));
        for (density, periods) in spans {
            (0..periods).for_each(|_| { let _ = requantiser.next_duty(density, &mut noise); });
            prop_assert_eq!(requantiser.next_duty(Density::NONE, &mut noise), 0);
            prop_assert_eq!(requantiser.next_duty(Density::FULL, &mut noise), pwm.period());
        }
    }

    #[test]
    fn rounding_is_to_the_nearest(bits in 8_u8..=16, density in densities()) {
        let mut requantiser = Requantiser::new(pwm(bits, Order::Rounding, None), 0);
        let duty = requantiser.next_duty(density, &mut noise(1));
        let exact = exact(density) << bits;
        prop_assert!((i64::from(duty) * PULSE - exact).abs() <= PULSE / 2);
    }

    /// The stream of a timer is its duties, each period lit at its beginning.
    #[test]
    fn a_stream_is_its_duties(bits in 8_u8..=11, seed: u32, width in dither_widths(), order in 0_u8..3, part: u32) {
        let order = [Order::Rounding, Order::First, Order::Second][usize::from(order)];
        let pwm = pwm(bits, order, Some(width));
        let density = Density::from_bits(part.clamp(1, u32::MAX - 1));
        let (mut stream, mut duties) = (Modulator::new(Modulation::Timer(pwm), 1 << 31), Requantiser::new(pwm, 1 << 31));
        let (mut stream_noise, mut duties_noise) = (noise(seed), noise(seed));
        for _ in 0..20 {
            let mut words = vec![0; 1 << (bits - 5)];
            let (first, rest) = words.split_at_mut(3);
            stream.fill(density, first, &mut stream_noise);
            stream.fill(density, rest, &mut stream_noise);
            let duty = duties.next_duty(density, &mut duties_noise) as usize;
            let expected = (0..1 << bits).map(|tick| tick < duty);
            prop_assert!(expected.eq(ticks(&words)), "{duty}");
        }
    }
}
