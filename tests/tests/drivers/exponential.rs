//! Exponential edges and light that decays.

use milliglow::density::{Density, FirstOrder};
use milliglow_sim::optics::drivers::{
    Corner, Decay, DecayingLight, Driver, Exponential, ExponentialFigures, Gated, LightDecay,
};

const TICK_S: f64 = 1e-6;

fn driver(rise_constant_s: f64, fall_constant_s: f64) -> Driver {
    let figures = ExponentialFigures {
        rise_constant_s,
        fall_constant_s,
        ..ExponentialFigures::default()
    };
    Driver::Exponential(Exponential::new(figures).unwrap())
}

/// A pulse of W: W - rise constant x (1 - e) up, fall constant x (1 - e) down, e = exp(-W / rise constant).
#[test]
fn a_pulse_has_the_area_of_its_curve() {
    for (rise, fall, ticks) in [
        (0.3e-6, 0.1e-6, 1),
        (2e-6, 5e-6, 3),
        (0.0, 1e-6, 2),
        (1e-6, 0.0, 2),
    ] {
        let mut gated = Gated::whatever_the_rise(&driver(rise, fall), TICK_S, 1).unwrap();
        let found: f64 = (0..400).map(|tick| gated.tick(tick < ticks)).sum();
        let width = f64::from(ticks) * TICK_S;
        let reached = 1.0
            - if rise > 0.0 {
                (-width / rise).exp()
            } else {
                0.0
            };
        let expected = (width - (rise - fall) * reached) / TICK_S;
        assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }
}

/// A linear system keeps every average (the physics of section D3 of the table's source); unequal constants do not.
#[test]
fn equal_constants_keep_the_average_of_every_stream() {
    let mean = |driver: &Driver, density: Density| -> f64 {
        let mut gated = Gated::whatever_the_rise(driver, TICK_S, 1).unwrap();
        let mut modulator = FirstOrder::new(0);
        let words: Vec<u32> = (0..4_096).map(|_| modulator.next_word(density)).collect();
        gated.words(&words);
        gated.words(&words) / (32.0 * 4_096.0)
    };
    for bits in [1 << 22, 0x2000_0000, 0x5000_0000, 0xF000_0000] {
        let density = Density::from_bits(bits);
        let equal = mean(&driver(0.7e-6, 0.7e-6), density);
        assert!((equal - density.as_f64()).abs() < 1e-9, "{equal}");
        let unequal = mean(&driver(0.9e-6, 0.3e-6), density);
        assert!(unequal < density.as_f64() * 0.999, "{unequal}");
    }
}

#[test]
fn corners_follow_the_curve() {
    let mut gated = Gated::whatever_the_rise(&driver(0.3e-6, 0.2e-6), TICK_S, 1).unwrap();
    let mut corners: Vec<Corner> = Vec::new();
    let charge = gated.trace(true, &mut corners);
    for corner in &corners {
        let expected = 1.0 - (-corner.after_s / 0.3e-6).exp();
        assert!((corner.current - expected).abs() < 1e-9);
    }
    let below: f64 = corners
        .windows(2)
        .map(|pair| (pair[1].after_s - pair[0].after_s) * (pair[0].current + pair[1].current))
        .sum();
    assert!((below / 2.0 / TICK_S / charge - 1.0).abs() < 0.003);
}

/// The light of one tick of charge 1 after n ticks more, from the convolution integral.
#[test]
fn decays_are_exact_and_lose_nothing() {
    let decays = [(0.6, 65e-9), (0.3, 4e-6)].map(|(part, constant_s)| Decay { part, constant_s });
    let decay = LightDecay::new(&decays).unwrap();
    let mut light = DecayingLight::new(&decay, TICK_S).unwrap();
    let found: Vec<f64> = (0..60)
        .map(|tick| light.tick(f64::from(u8::from(tick == 0))))
        .collect();
    let left = |decay: &Decay, from: f64| {
        // Light stored `from` seconds after the begin of a tick of even current.
        let (t, tau) = (from, decay.constant_s);
        decay.part * tau / TICK_S * ((-(t - TICK_S).max(0.0) / tau).exp() - (-t / tau).exp())
    };
    for (tick, found) in found.iter().enumerate().skip(1) {
        let begin = TICK_S * tick as f64;
        let expected: f64 = decays
            .iter()
            .map(|decay| left(decay, begin) - left(decay, begin + TICK_S))
            .sum();
        assert!(
            (found - expected).abs() < 1e-12,
            "{tick}: {found} {expected}"
        );
    }
    assert!((found.iter().sum::<f64>() + light.stored() - 1.0).abs() < 1e-12);
    assert!(light.stored() > 1e-9);
}
