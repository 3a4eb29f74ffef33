//! Timers that stand still: lines and summed light in closed form against their streams.

use milliglow::Level;
use milliglow_sim::description::{CurveChoice, Description, Modulation, OperatingRow};
use milliglow_sim::optics::drivers::{Driver, Slew, SlewFigures};
use milliglow_sim::optics::{LineBand, PhasedLine, Steady, lines, record_lines};
use milliglow_sim::run::{Driven, steadied, steady, stream};
use milliglow_tests::plain_cove::plain_cove;

/// Three channels whose shares are so many parts of 65 536, at full Level, so that densities are just these.
fn luminaire(parts: [u32; 3], bits: u8, order: u8) -> Description {
    let mut made = plain_cove();
    made.curve = CurveChoice::Linear;
    made.tick_hz = 1_000_000;
    made.channels.truncate(3);
    made.recipes.truncate(1);
    made.recipes[0].shares = parts.map(|part| f64::from(part) / 65_536.0).to_vec();
    for channel in &mut made.channels {
        channel.modulation = Modulation::Timer {
            bits,
            order,
            width_shift: None,
        };
    }
    made
}

fn edges(made: &mut Description) {
    let figures = SlewFigures {
        rise_s: 300e-9,
        fall_s: 100e-9,
        turn_on_delay_s: 200e-9,
        ..SlewFigures::default()
    };
    for channel in &mut made.channels {
        channel.driver = Driver::Slew(Slew::new(figures).unwrap());
    }
}

fn closed(made: &Description) -> Vec<Steady> {
    let stands = steady(made, 0, Level::FULL).stands();
    let channels = steadied(made, &Driven::all(made), &stands);
    channels
        .into_iter()
        .map(|channel| channel.unwrap())
        .collect()
}

/// Flux of each tick.
fn ticks(made: &Description, words: usize) -> Vec<f64> {
    let mut luminaire = steady(made, 0, Level::FULL);
    let stands = luminaire.stands();
    let driven = Driven::all(made);
    let mut gated: Vec<_> = driven.iter().map(|driven| driven.supplied(1.0)).collect();
    let mut flux = vec![0.0; 32 * words];
    let mut begin = 0;
    stream(&mut luminaire, 3, words, |slices| {
        for (k, slice) in slices.iter().enumerate() {
            let full = made.channels[k].flux_lm * driven[k].rows[stands[k].row].full;
            for (tick, flux) in flux[begin..].iter_mut().take(32 * slice.len()).enumerate() {
                *flux += full * gated[k].tick(slice[tick / 32] << (tick % 32) >> 31 == 1);
            }
        }
        begin += 32 * slices[0].len();
    });
    flux
}

const BAND: LineBand = LineBand {
    below_hz: 20_000.0,
    floor: 1e-4,
};

fn agree(found: &[PhasedLine], expected: &[PhasedLine], tolerance: f64, what: &str) {
    let at = |lines: &[PhasedLine], hertz: f64| {
        let near = lines
            .iter()
            .find(|line| (line.frequency_hz - hertz).abs() < 1e-6);
        near.map_or((0.0, 0.0), |line| (line.cosine, line.sine))
    };
    assert!(expected.len() > 3, "{what}");
    for line in expected.iter().chain(found) {
        let (one, other) = (
            at(found, line.frequency_hz),
            at(expected, line.frequency_hz),
        );
        let apart = (one.0 - other.0).hypot(one.1 - other.1);
        assert!(apart < tolerance, "{what}: {line:?}: {one:?} {other:?}");
    }
}

/// 256 periods of 256 ticks at most, then all repeats: the transform of the record is exact. Lines at the floor may be on one side only.
#[test]
fn lines_are_those_of_the_stream() {
    let cases = [
        ([900, 17_000, 40_000], 0),
        ([900, 17_000, 40_000], 1),
        // Duties below one, a hair from whole ones, and the full light less a duty.
        ([100, 1_027, 65_400], 1),
        ([3, 0, 0], 1),
    ];
    for (parts, order) in cases {
        for stretch in [1, 2] {
            let mut made = luminaire(parts, 8, order);
            for channel in &mut made.channels {
                channel.rows = vec![OperatingRow {
                    stretch,
                    ..OperatingRow::PLAIN
                }];
            }
            let length = 65_536 * usize::from(stretch);
            let flux = ticks(&made, 2 * length / 32);
            let expected = record_lines(&flux[length..], 1e6, BAND);
            let found = lines(&closed(&made), 1e6, BAND);
            agree(
                &found,
                &expected,
                2.1e-4,
                &format!("{parts:?} {order} {stretch}"),
            );
            let strongest = |lines: &[PhasedLine]| {
                lines
                    .iter()
                    .map(|line| line.line().amplitude)
                    .fold(0.0, f64::max)
            };
            let apart = strongest(&found) - strongest(&expected);
            assert!(apart.abs() < 1e-4, "{apart}");
        }
    }
}

/// Edges are taken from the first decision, so that only the lines' phases are off by a part of a tick.
#[test]
fn edges_take_their_part_of_the_lines() {
    let mut made = luminaire([900, 17_000, 40_000], 8, 0);
    edges(&mut made);
    let length = 65_536;
    let flux = ticks(&made, 2 * length / 32);
    let expected = record_lines(&flux[length..], 1e6, BAND);
    agree(&lines(&closed(&made), 1e6, BAND), &expected, 0.02, "edges");
    let mean = flux[length..].iter().sum::<f64>() / length as f64;
    let told: f64 = closed(&made).iter().map(Steady::mean).sum();
    assert!((told / mean - 1.0).abs() < 1e-9, "{told} {mean}");
}

/// At every tick: exact without edges, within one pulse's edge with them, whose books may come out a tick earlier or later.
#[test]
fn summed_light_is_that_of_the_stream() {
    for order in [0, 1] {
        for (with_edges, tolerance) in [(false, 1e-6), (true, 1.6)] {
            for parts in [
                [900, 17_000, 40_000],
                [100, 1_027, 65_400],
                [7, 256, 65_535],
            ] {
                let mut made = luminaire(parts, 8, order);
                if with_edges {
                    edges(&mut made);
                }
                let flux = ticks(&made, 20_000);
                let channels = closed(&made);
                let brightest: f64 = made.channels.iter().map(|channel| channel.flux_lm).sum();
                let mut sum = 0.0;
                for (tick, flux) in flux.iter().enumerate() {
                    let told: f64 = channels
                        .iter()
                        .map(|channel| channel.light_until(tick as f64))
                        .sum();
                    let apart = (told - sum).abs() / brightest;
                    assert!(
                        apart < tolerance,
                        "{parts:?} {order} {with_edges}: tick {tick}: {told} {sum}"
                    );
                    sum += flux;
                }
            }
        }
    }
}

/// A timer of 12 bits with error feedback at 48 MHz, 11.7 kHz: at 0.1 % its duty is 4.096, so that a pulse in ten is longer and
/// nothing is slow. At 0.0972 % it is 3.983: one pulse in 59 is shorter, 200 times a second, and modulation below 200 Hz is 21
/// times as strong.
#[test]
fn a_hair_away_a_timer_is_many_times_worse() {
    let slow = |light: f64| {
        let mut made = luminaire([0, 0, 0], 12, 1);
        made.tick_hz = 48_000_000;
        made.channels.truncate(1);
        made.recipes[0].shares = vec![light];
        let band = LineBand {
            below_hz: 200.0,
            floor: 1e-5,
        };
        let found = lines(&closed(&made), 48e6, band);
        let powers = found.iter().map(|line| line.line().amplitude.powi(2) / 2.0);
        powers.sum::<f64>().sqrt()
    };
    let here = slow(0.001);
    assert!((here / 2.83e-4 - 1.0).abs() < 0.02, "{here}");
    let away = (0..600).map(|k| slow(0.00097 + 1e-7 * f64::from(k)));
    let worst = away.fold(0.0, f64::max);
    assert!((20.0..23.0).contains(&(worst / here)), "{worst} {here}");
}
