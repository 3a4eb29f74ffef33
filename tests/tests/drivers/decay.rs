//! Light that decays: lines in closed form, ticks and samples against the response of one-pole filters.

use std::f64::consts::TAU;

use milliglow::density::{Density, FirstOrder};
use milliglow_sim::description::{BUILT_IN, Description, LevelChoice, OperatingRow, parse};
use milliglow_sim::optics::drivers::{Decay, DecayingLight, LightDecay};
use milliglow_sim::optics::{
    Decimator, EdgeSampler, LineBand, PhasedLine, Steady, SteadyChannel, SteadyTimer, lines,
    record_lines, steady_lines,
};
use milliglow_sim::run::{Driven, LightSampler, level, steady, stream};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

const TICK_HZ: f64 = 1e6;

fn decay(parts: &[(f64, f64)]) -> LightDecay {
    let decays = parts
        .iter()
        .map(|&(part, constant_s)| Decay { part, constant_s });
    LightDecay::new(&decays.collect::<Vec<_>>()).unwrap()
}

/// 1 pulse in 1024 ticks: lines at every multiple of 976.6 Hz.
fn pulses(decay: LightDecay) -> SteadyChannel {
    SteadyChannel {
        decay,
        ..SteadyChannel::new(Density::from_bits(1 << 22), 0, 3.0)
    }
}

const BAND: LineBand = LineBand {
    below_hz: 20_000.0,
    floor: 0.0,
};

/// Times 1 / sqrt(1 + (2 pi f tau)^2), and later by atan(2 pi f tau).
#[test]
fn a_line_is_weaker_by_the_one_pole_response() {
    for constant_s in [1e-9, 65e-9, 10e-6, 200e-6, 8e-3] {
        let with = steady_lines(&[pulses(decay(&[(1.0, constant_s)]))], TICK_HZ, BAND);
        let without = steady_lines(&[pulses(LightDecay::NONE)], TICK_HZ, BAND);
        assert_eq!((with.len(), without.len()), (20, 20));
        for (with, without) in with.iter().zip(&without) {
            let late = TAU * with.frequency_hz * constant_s;
            let left = 1.0 / (1.0 + late * late).sqrt();
            let ratio = with.line().amplitude / without.line().amplitude;
            assert!((ratio / left - 1.0).abs() < 1e-12, "{constant_s} {with:?}");
            let phase = |line: &PhasedLine| line.sine.atan2(line.cosine);
            let turned = (phase(with) - phase(without) - late.atan()).rem_euclid(TAU);
            assert!(turned.min(TAU - turned) < 1e-9, "{constant_s} {with:?}");
        }
    }
}

/// The same light, decay by decay tick by tick over its settled period.
fn recorded(channels: &[Steady], ticks: usize) -> Vec<PhasedLine> {
    let mut flux = vec![0.0; ticks];
    for channel in channels {
        let mut light = DecayingLight::new(channel.decay(), 1.0 / TICK_HZ).unwrap();
        light.settle(channel.mean());
        // Once to settle, once to keep.
        for keep in [false, true] {
            for (tick, flux) in flux.iter_mut().enumerate() {
                let until = |tick: usize| channel.light_until(tick as f64 + 1e6 * ticks as f64);
                let given = light.tick(until(tick + 1) - until(tick));
                *flux += if keep { given } else { 0.0 };
            }
        }
    }
    record_lines(&flux, TICK_HZ, BAND)
}

/// Two first-order channels and a timer of two decays each: where lines meet, their phases count.
#[test]
fn ticks_and_closed_form_have_the_same_lines() {
    let first = pulses(decay(&[(0.7, 90e-6), (0.3, 8e-6)]));
    let second = SteadyChannel {
        decay: decay(&[(0.5, 30e-6)]),
        phase: 1 << 30,
        ..SteadyChannel::new(Density::from_bits(3 << 23), 0, 1.0)
    };
    let timer = SteadyTimer {
        period: 256,
        whole: 7,
        part: Density::from_bits(1 << 30),
        phase: 0,
        late_decisions: 32,
        flux: 2.0,
        stretch: 1,
        edge_loss: 0.25,
        late_ticks: 0,
        decay: decay(&[(1.0, 150e-6)]),
    };
    let channels = [
        Steady::FirstOrder(first),
        Steady::FirstOrder(second),
        Steady::Timer(timer),
    ];
    let exact = lines(&channels, TICK_HZ, BAND);
    let recorded = recorded(&channels, 1 << 14);
    let strong = exact.iter().filter(|line| line.line().amplitude > 1e-6);
    let mut compared = 0;
    for line in strong {
        let near = |other: &&PhasedLine| (other.frequency_hz - line.frequency_hz).abs() < 1.0;
        let other = recorded.iter().find(near).expect("a line there");
        let apart = (line.cosine - other.cosine).hypot(line.sine - other.sine);
        // A tick's mean of the decaying light is not its course within the tick: (pi f / tick rate)^2 / 3 at most.
        assert!(apart < 3e-3 * line.line().amplitude, "{line:?} {other:?}");
        compared += 1;
    }
    assert!(compared >= 20);
}

/// Samples at 8 kHz of pulses of 97.66 Hz, whose decay is as long as a sample: the line is that of the closed form.
#[test]
fn samples_have_the_lines_that_the_decay_leaves() {
    let density = Density::from_bits(1 << 20);
    for parts in [&[(1.0, 125e-6)][..], &[(0.6, 3e-3), (0.4, 20e-6)]] {
        let decay = decay(parts);
        let decimator = Decimator::new(&[[1.0]], 400_000, 8_000).with_decay(&decay);
        let mut decimator = decimator;
        let mean = density.as_f64();
        decimator.settle([mean]);
        let mut stream = FirstOrder::new(0);
        let words: Vec<u32> = (0..1 << 17).map(|_| stream.next_word(density)).collect();
        let mut values = Vec::new();
        decimator.push(&[&words], |[value]| values.push(value));
        let hertz = 400_000.0 / 4_096.0;
        for harmonic in 1..=15 {
            let hertz = hertz * f64::from(harmonic);
            // Whole periods: 512 samples hold 6.25 of the first.
            let kept = &values[1_024..1_024 + 512 * 16 * 4];
            let (mut along, mut across) = (0.0, 0.0);
            for (k, value) in kept.iter().enumerate() {
                let (sine, cosine) = (TAU * hertz * k as f64 / 8_000.0).sin_cos();
                along += value * cosine;
                across += value * sine;
            }
            let found = 2.0 * along.hypot(across) / (kept.len() as f64 * mean);
            let (real, imaginary) = decay.response(hertz);
            let expected = 2.0 * real.hypot(imaginary);
            assert!(
                (found / expected - 1.0).abs() < 3e-3,
                "{parts:?} {hertz} Hz: {found} {expected}"
            );
        }
    }
}

proptest! {
    #![proptest_config(cases())]

    /// Whatever the charges, light is never negative, and what came and what is stored is what was given.
    #[test]
    fn no_light_is_lost(
        charges in prop::collection::vec(0.0..1.0_f64, 1..200),
        (part, first, second) in (0.0..1.0_f64, -11.0..-1.0_f64, -11.0..-1.0_f64),
    ) {
        let decay = decay(&[(part, 10f64.powf(first)), (1.0 - part, 10f64.powf(second))]);
        let mut light = DecayingLight::new(&decay, 1e-6).unwrap();
        let mut given = 0.0;
        for charge in &charges {
            let tick = light.tick(*charge);
            prop_assert!(tick >= -1e-15);
            given += tick;
        }
        let sum: f64 = charges.iter().sum();
        prop_assert!((given + light.stored() - sum).abs() < 1e-9 * (1.0 + sum));
    }

    /// A settled light stays.
    #[test]
    fn an_even_light_stays_even(part in 0.0..1.0_f64, constant in -9.0..-1.0_f64, charge in 0.0..1.0_f64) {
        let decay = decay(&[(part, 10f64.powf(constant))]);
        let mut light = DecayingLight::new(&decay, 1e-6).unwrap();
        light.settle(charge);
        for _ in 0..50 {
            prop_assert!((light.tick(charge) - charge).abs() < 1e-9);
        }
    }
}

/// A luminaire of two channels whose light decays differently, with two set points each.
fn pair() -> Description {
    let mut made = parse(BUILT_IN, "built in").unwrap();
    made.tick_hz = 1_024_000;
    made.channels.truncate(2);
    made.recipes.truncate(1);
    made.recipes[0].shares = vec![1.0, 0.3];
    made.script.clear();
    let decays = [&[(1.0, 2e-3)][..], &[(0.5, 300e-6), (0.3, 3e-6)]];
    for (channel, parts) in made.channels.iter_mut().zip(decays) {
        channel.light_decay = decay(parts);
        channel.rows = vec![
            OperatingRow {
                range_ratio: 8.0,
                ..OperatingRow::PLAIN
            },
            OperatingRow {
                from_light: 0.05,
                ..OperatingRow::PLAIN
            },
        ];
    }
    made
}

/// Through a change of set points: light that is still to come is of the set point that it came from.
#[test]
fn channels_sampled_together_are_those_sampled_tick_by_tick() {
    let made = pair();
    let driven = Driven::all(&made);
    let weights = [[180.0], [320.0]];
    let mut together = LightSampler::new(&driven, &weights, made.tick_hz, 8_000..=8_000);
    assert_eq!(together.sample_hz(), 8_000.0);
    let mut ticks = EdgeSampler::new(8_000.0);
    let mut supplied: Vec<_> = driven.iter().map(|driven| driven.supplied(1.0)).collect();
    let (mut found, mut expected) = (Vec::new(), Vec::new());
    for light in [0.002, 0.5, 0.03, 0.001, 0.9, 0.01] {
        let level = level(&made, LevelChoice::Light(light));
        let mut luminaire = steady(&made, 0, level);
        let stands = luminaire.stands();
        stream(&mut luminaire, 2, 1 << 10, |words| {
            together.push(words, &stands, |[sample]| found.push(sample));
            for tick in 0..32 * words[0].len() {
                let channels = supplied.iter_mut().zip(words).enumerate();
                let lights = channels.map(|(k, (supplied, words))| {
                    let full = driven[k].rows[stands[k].row].full;
                    weights[k][0] * supplied.light(words[tick / 32] << (tick % 32) >> 31 == 1, full)
                });
                let sum = lights.sum();
                ticks.lasts([sum], 1.0 / 1_024_000.0, |[sample]| expected.push(sample));
            }
        });
    }
    assert!(found.len() > 1_000 && found.len().abs_diff(expected.len()) <= 1);
    for (found, expected) in found.iter().zip(&expected) {
        assert!((found - expected).abs() < 0.3, "{found} {expected} lm");
    }
}
