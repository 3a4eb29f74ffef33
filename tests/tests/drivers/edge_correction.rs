//! Light against asked light behind edges that take 30 % of a tick, with and without the correction.

use milliglow::density::{Density, FirstOrder};
use milliglow::{Level, curve::Exponential};
use milliglow_sim::optics::drivers::{Driver, EdgeCorrection, EdgeTimes, Gated, Slew, SlewFigures};

const TICK_S: f64 = 1e-6;

/// All kinds of edges that cost 0.3 ticks, and some that win as much.
fn edges() -> [(EdgeTimes, f64); 5] {
    let times = |rise, fall, on, off, charge| EdgeTimes {
        rise_s: rise * TICK_S,
        fall_s: fall * TICK_S,
        turn_on_delay_s: on * TICK_S,
        turn_off_delay_s: off * TICK_S,
        turn_on_charge_s: charge * TICK_S,
    };
    [
        (times(0.6, 0.0, 0.0, 0.0, 0.0), 0.3),
        (times(0.4, 0.1, 0.25, 0.1, 0.0), 0.3),
        (times(0.2, 0.2, 0.0, 0.0, 0.3), 0.3),
        (times(0.0, 0.6, 0.0, 0.0, 0.0), -0.3),
        (times(0.1, 0.1, 1.2, 1.5, 0.0), -0.3),
    ]
}

fn driver(times: EdgeTimes) -> Driver {
    let figures = SlewFigures {
        rise_s: times.rise_s,
        fall_s: times.fall_s,
        turn_on_delay_s: times.turn_on_delay_s,
        turn_off_delay_s: times.turn_off_delay_s,
        turn_on_charge_s: times.turn_on_charge_s,
        line_sensitivity: 0.0,
    };
    Driver::Slew(Slew::new(figures).unwrap())
}

/// Lights of every Level from 0.1 to 100 %, highest last.
fn lights() -> Vec<f64> {
    let curve = Exponential::new(1_000, 0).unwrap();
    let lights = (1..=u16::MAX).map(|level| curve.light(Level::from_bits(level)).as_f64());
    lights.filter(|&light| light >= 0.001).collect()
}

/// A density of the core, rounded to nearest.
fn density(value: f64) -> Density {
    Density::from_bits((value * 4_294_967_296.0).round().min(4_294_967_295.0) as u32)
}

/// Ones and rising edges a tick of a first-order stream that goes on for good: with a = p / q, runs are min(p, q - p).
fn ones_and_runs(density: Density) -> (f64, f64) {
    let ones = density.as_f64();
    (ones, ones.min(1.0 - ones))
}

#[test]
fn every_level_is_within_a_thousandth_and_far_off_without() {
    let lights = lights();
    assert!(lights.len() > 65_000, "{}", lights.len());
    for (times, g) in edges() {
        let correction = EdgeCorrection::of_times(times, TICK_S, 1).unwrap();
        assert!((correction.g() - g).abs() < 1e-12);
        let loss = Gated::new(&driver(times), TICK_S, 1)
            .unwrap()
            .edge_loss()
            .unwrap();
        let light = |density| {
            let (ones, runs) = ones_and_runs(density);
            ones - loss * runs
        };
        for &asked in &lights {
            let found = light(density(correction.density_for_light(asked)));
            assert!((found / asked - 1.0).abs() < 1e-3, "{asked}: {found}");
        }
        let without = light(density(0.001)) / 0.001 - 1.0;
        assert!((without + g).abs() < 1e-3, "{without}");
    }
}

/// The same with streams of the core, tick by tick, whose average comes within a pulse over its 2^22 ticks.
#[test]
fn stepped_streams_give_the_asked_light() {
    const TICKS: u32 = 1 << 22;
    let lights = lights();
    let some: Vec<f64> = lights
        .iter()
        .step_by(9_001)
        .chain(lights.last())
        .copied()
        .collect();
    for (times, _) in edges() {
        let correction = EdgeCorrection::of_times(times, TICK_S, 1).unwrap();
        for &asked in &some {
            let density = density(correction.density_for_light(asked));
            let mut gated = Gated::new(&driver(times), TICK_S, 1).unwrap();
            let mut modulator = FirstOrder::new(1 << 31);
            let charge: f64 = (0..TICKS)
                .map(|_| gated.tick(modulator.next_bit(density)))
                .sum();
            let found = charge / f64::from(TICKS);
            assert!((found / asked - 1.0).abs() < 1e-3, "{asked}: {found}");
        }
    }
}

#[test]
fn stays_within_0_and_1_rises_and_undoes_itself() {
    for g in [-0.999, -0.6, -0.3, 0.0, 0.3, 0.6, 0.999] {
        let correction = EdgeCorrection::new(g).unwrap();
        let mut last = 0.0;
        for step in 0..=10_000 {
            let asked = f64::from(step) / 10_000.0;
            let density = correction.density_for_light(asked);
            assert!((last..=1.0).contains(&density), "{g} {asked}: {density}");
            let back = correction.light_of_density(density);
            assert!((back - asked).abs() < 1e-12, "{g} {asked}: {back}");
            last = density;
        }
        assert_eq!(correction.density_for_light(0.0), 0.0);
        assert_eq!(correction.density_for_light(1.0), 1.0);
    }
    for g in [-1.0, 1.0, f64::NAN, f64::INFINITY] {
        assert!(EdgeCorrection::new(g).is_none());
    }
}

/// Twice the stretch halves what edges take.
#[test]
fn stretch_divides_what_edges_take() {
    let g = |stretch| {
        EdgeCorrection::of_times(edges()[1].0, TICK_S, stretch)
            .unwrap()
            .g()
    };
    for stretch in [2, 4, 8, 16] {
        assert!((g(stretch) * f64::from(stretch) - 0.3).abs() < 1e-12);
    }
}
