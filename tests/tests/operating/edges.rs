//! Modulators that book edges: ones less what edges take is the density, exactly.

use milliglow::density::{Decision, Density, Edge, Modulation, Modulator, Stretch};
use milliglow::requantise::{Order, TimerPwm};
use milliglow_tests::cases::{cases, densities, dither_widths};
use milliglow_tests::stream::{PULSE, exact, noise, ticks};
use proptest::collection::vec;
use proptest::prelude::*;

fn edges() -> impl Strategy<Value = Edge> {
    (-0.95..0.95)
        .prop_map(|part| Edge::from_bits((part * 2_147_483_648.0) as i32).expect("above -1"))
}

/// The farthest of ones less what edges took from the densities' sum, in decisions.
fn farthest(modulation: Modulation, edge: Edge, seed: u32, spans: &[(Density, usize)]) -> f64 {
    let mut modulator = Modulator::new(modulation, 1 << 31);
    let (mut owed, mut lit, mut worst, mut noise) = (0_i64, false, 0_i64, noise(seed));
    for &(density, words) in spans {
        let mut drawn = vec![0; words];
        modulator.fill_as(
            density,
            Decision {
                stretch: Stretch::One,
                edge,
            },
            &mut drawn,
            &mut noise,
        );
        for one in ticks(&drawn) {
            let taken = if one && !lit {
                2 * i64::from(edge.to_bits())
            } else {
                0
            };
            owed += exact(density) - if one { PULSE } else { 0 } + taken;
            (worst, lit) = (worst.max(owed.abs()), one);
        }
    }
    worst as f64 / PULSE as f64
}

fn spans() -> impl Strategy<Value = Vec<(Density, usize)>> {
    vec((densities(), 1_usize..64), 1..40)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn dithered(edge in edges(), seed: u32, width in dither_widths(), spans in spans()) {
        let takes = f64::from(edge.to_bits().abs()) / 2_147_483_648.0;
        let between = |density: Density| Density::from_bits(density.to_bits().clamp(1, u32::MAX - 1));
        let inside: Vec<_> = spans.iter().map(|(density, words)| (between(*density), *words)).collect();
        let worst = farthest(Modulation::Dithered(width), edge, seed, &inside);
        prop_assert!(worst <= 1.5 + takes, "{worst} with {takes}");
        // None and full come at once: the edge that follows the one or comes with the other is not waited for.
        let ends = spans.iter().filter(|(density, _)| between(*density) != *density).count();
        let worst = farthest(Modulation::Dithered(width), edge, seed, &spans);
        prop_assert!(worst <= 1.5 + takes * (1 + ends) as f64, "{worst} with {takes}, {ends} ends");
    }

    /// Over the whole range of densities, also where it goes on as first order: down to 1e-9 from either end.
    #[test]
    fn second_order(edge in edges(), decades in -9.0..-0.3, from_full: bool) {
        let small = 10_f64.powf(decades);
        let density = if from_full { 1.0 - small } else { small };
        let density = Density::from_bits((density * 4_294_967_296.0) as u32);
        let worst = farthest(Modulation::SecondOrder, edge, 1, &[(density, 2_000)]);
        let bound = 1.5 + 2.0 * f64::from(edge.to_bits().abs()) / 2_147_483_648.0;
        prop_assert!(worst <= bound, "{worst} of {bound}");
    }

    /// However it is stretched, it is the same decisions.
    #[test]
    fn stretched(edge in edges(), seed: u32, width in dither_widths(), shift in 0_u32..=4, spans in spans()) {
        let stretch = Stretch::from_ticks(1 << shift).unwrap();
        for modulation in [Modulation::FirstOrder, Modulation::Dithered(width), Modulation::SecondOrder] {
            let mut plain = Modulator::new(modulation, 1 << 31);
            let mut stretched = plain.clone();
            let (mut plain_noise, mut stretched_noise) = (noise(seed), noise(seed));
            for &(density, words) in &spans {
                let (mut decisions, mut drawn) = (vec![0; words], vec![0; words << shift]);
                plain.fill_as(density, Decision { stretch: Stretch::One, edge }, &mut decisions, &mut plain_noise);
                stretched.fill_as(density, Decision { stretch, edge }, &mut drawn, &mut stretched_noise);
                let expected = ticks(&decisions).flat_map(|one| std::iter::repeat_n(one, 1 << shift));
                prop_assert!(expected.eq(ticks(&drawn)));
            }
        }
    }

    /// At the end of every period, but for plain PWM, which does not carry its error.
    #[test]
    fn timer(edge in edges(), seed: u32, bits in 8_u8..=10, second: bool, density in 0.01..0.99) {
        let pwm = TimerPwm::new(bits, if second { Order::Second } else { Order::First }, None).unwrap();
        let density = Density::from_bits((density * 4_294_967_296.0) as u32);
        let mut modulator = Modulator::new(Modulation::Timer(pwm), 1 << 31);
        let (mut owed, mut lit, mut noise) = (0_i64, false, noise(seed));
        let mut period = vec![0; 1 << (bits - 5)];
        for _ in 0..100 {
            modulator.fill_as(density, Decision { stretch: Stretch::One, edge }, &mut period, &mut noise);
            for one in ticks(&period) {
                let taken = if one && !lit { 2 * i64::from(edge.to_bits()) } else { 0 };
                owed += exact(density) - if one { PULSE } else { 0 } + taken;
                lit = one;
            }
            prop_assert!(owed.abs() <= 3 * PULSE, "{}", owed as f64 / PULSE as f64);
        }
    }
}
