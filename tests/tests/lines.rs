//! Lines of steady light in closed form against the FFT of whole periods and a published table.

use milliglow::density::{Density, FirstOrder, SecondOrder};
use milliglow_sim::optics::{LineBand, PhasedLine, SteadyChannel, record_lines, steady_lines};
use milliglow_tests::data::rows;
use std::f64::consts::PI;

const TICK_HZ: f64 = 1e6;

fn channel(bits: u32, phase: u32, flux: f64) -> SteadyChannel {
    SteadyChannel::new(Density::from_bits(bits), phase, flux)
}

/// Flux of the first `ticks` ticks, stepped.
fn stepped(channels: &[SteadyChannel], ticks: usize) -> Vec<f64> {
    let mut flux = vec![0.0; ticks];
    for channel in channels {
        let mut modulator = FirstOrder::new(channel.phase);
        for flux in &mut flux {
            *flux += channel.flux * f64::from(u8::from(modulator.next_bit(channel.density)));
        }
    }
    flux
}

/// Largest distance between two lists of lines, each line missing in one counted in full.
fn distance(ours: &[PhasedLine], theirs: &[PhasedLine]) -> f64 {
    let place = |line: &PhasedLine| line.frequency_hz.round() as i64;
    let mut all: std::collections::BTreeMap<i64, (f64, f64)> = Default::default();
    for (lines, sign) in [(ours, 1.0), (theirs, -1.0)] {
        for line in lines {
            let sum = all.entry(place(line)).or_default();
            sum.0 += sign * line.cosine;
            sum.1 += sign * line.sine;
        }
    }
    all.values().map(|(c, s)| c.hypot(*s)).fold(0.0, f64::max)
}

/// The tick rate that makes the resolution of `ticks` ticks 1 Hz.
fn one_hz(ticks: usize) -> f64 {
    ticks as f64
}

#[test]
fn every_line_of_one_channel_agrees_with_the_fft_of_its_period() {
    let every = LineBand {
        below_hz: f64::INFINITY,
        floor: 0.0,
    };
    for (modulus_bits, counts) in [
        (12, vec![1, 2, 5, 1024, 1365, 2047, 2048, 3001, 4095]),
        (16, vec![66, 6554, 21845, 58982]),
    ] {
        let ticks = 1usize << modulus_bits;
        for count in counts {
            for phase in [0, 0x8000_0000, 0x1234_5678, 0xFFFF_FFFF] {
                let light = [channel(count << (32 - modulus_bits), phase, 3.0)];
                let ours = steady_lines(&light, one_hz(ticks), every);
                let theirs = record_lines(&stepped(&light, ticks), one_hz(ticks), every);
                let worst = distance(&ours, &theirs);
                assert!(
                    worst < 1e-12,
                    "{count} of {ticks}, phase {phase:#x}: {worst:e}"
                );
            }
        }
    }
}

#[test]
fn channels_add_up_on_common_frequencies() {
    let every = LineBand {
        below_hz: f64::INFINITY,
        floor: 0.0,
    };
    let lights = [
        vec![channel(5 << 20, 0, 1.0), channel(5 << 20, 0x8000_0000, 1.0)],
        vec![
            channel(5 << 20, 7, 1.0),
            channel(10 << 20, 0x5555_5555, 0.3),
            channel(u32::MAX, 0, 0.01),
        ],
        vec![
            channel(33 << 20, 1 << 31, 180.0),
            channel(100 << 20, 1 << 30, 320.0),
            channel(3 << 21, 9, 60.0),
            channel(0, 0, 5.0),
        ],
    ];
    for light in lights {
        let ours = steady_lines(&light, one_hz(4096), every);
        let worst = distance(
            &ours,
            &record_lines(&stepped(&light, 4096), one_hz(4096), every),
        );
        assert!(worst < 1e-12, "{light:?}: {worst:e}");
    }
}

#[test]
fn two_channels_half_a_pulse_apart_cancel_their_main_line() {
    let light = [channel(1 << 22, 0, 1.0), channel(1 << 22, 1 << 31, 1.0)];
    let lines = steady_lines(
        &light,
        TICK_HZ,
        LineBand {
            below_hz: 3000.0,
            floor: 1e-9,
        },
    );
    let frequencies: Vec<_> = lines.iter().map(|line| line.frequency_hz).collect();
    assert_eq!(frequencies, [TICK_HZ / 512.0]);
}

#[test]
fn nothing_at_twice_the_floor_is_left_out() {
    let ticks = 1usize << 16;
    let light = [
        channel(66 << 16, 1 << 31, 180.0),
        channel(131 << 16, 1 << 30, 320.0),
        channel(21 << 16, 77, 60.0),
    ];
    let below_hz = 6_000.0;
    let floor = 3e-3;
    let ours = steady_lines(&light, one_hz(ticks), LineBand { below_hz, floor });
    let all = record_lines(
        &stepped(&light, ticks),
        one_hz(ticks),
        LineBand {
            below_hz,
            floor: 0.0,
        },
    );
    let strong: Vec<_> = all
        .iter()
        .copied()
        .filter(|line| line.line().amplitude >= floor)
        .collect();
    assert!(ours.len().abs_diff(strong.len()) <= strong.len() / 20);
    assert!(distance(&ours, &all) < 2.0 * floor);
    // The root sum square that the documentation states.
    let left_out: f64 = all
        .iter()
        .map(|line| line.line().amplitude.powi(2))
        .sum::<f64>()
        - strong
            .iter()
            .map(|line| line.line().amplitude.powi(2))
            .sum::<f64>();
    let mean: f64 = light.iter().map(SteadyChannel::mean).sum::<f64>() / 560.0;
    let stated = below_hz / one_hz(ticks) * (2.0 * floor / (3.0 * mean)).sqrt();
    let ratio = left_out.sqrt() / stated;
    assert!((0.6..1.2).contains(&ratio), "{ratio}");
}

#[test]
fn a_density_without_a_short_period_agrees_with_its_long_record() {
    // 2^22 ticks of a density whose period is 2^32 ticks: bins at the main lines hold them but for leakage.
    let light = [channel(4_297_123, 99, 1.0)];
    let band = LineBand {
        below_hz: 20_000.0,
        floor: 1e-6,
    };
    let lines = steady_lines(&light, TICK_HZ, band);
    let flux = stepped(&light, 1 << 22);
    for line in lines
        .iter()
        .filter(|line| line.line().amplitude > 0.01)
        .take(8)
    {
        let turn = 2.0 * PI * line.frequency_hz / TICK_HZ;
        let (mut cosine, mut sine, mut sum) = (0.0, 0.0, 0.0);
        for (tick, flux) in flux.iter().enumerate().filter(|(_, flux)| **flux > 0.0) {
            let window = 1.0 - (2.0 * PI * (tick as f64 + 0.5) / (1u64 << 22) as f64).cos();
            let along = turn * (tick as f64 + 0.5);
            cosine += flux * window * along.cos();
            sine += flux * window * along.sin();
            sum += flux * window;
        }
        let tick = (turn / 2.0).sin() / (turn / 2.0);
        assert!(
            (2.0 * cosine / sum * tick - line.cosine).abs() < 1e-3,
            "{line:?}"
        );
        assert!(
            (2.0 * sine / sum * tick - line.sine).abs() < 1e-3,
            "{line:?}"
        );
    }
}

#[test]
fn idle_tones_are_as_tabulated() {
    let modulus_bits = |row: &milliglow_tests::data::Row| {
        let modulus = row.number("M");
        (modulus.log2().fract() == 0.0).then_some(modulus.log2() as u32)
    };
    // The table gives lines of impulses, one a tick; light lasts the tick.
    let of_impulses = |line: &PhasedLine| {
        let along = PI * line.frequency_hz / TICK_HZ;
        line.line().amplitude * along / along.sin()
    };
    for row in rows("density_idle_tones_first_order.csv") {
        let Some(bits) = modulus_bits(&row) else {
            continue;
        };
        let main_hz = row.number("main_line_hz_at_1MHz");
        if main_hz >= TICK_HZ / 2.0 {
            continue;
        }
        let density = (row.number("d") as u32) << (32 - bits);
        let lines = steady_lines(
            &[channel(density, 0, 1.0)],
            TICK_HZ,
            LineBand {
                below_hz: TICK_HZ,
                floor: 1e-7,
            },
        );
        let near = |hz: f64| {
            lines
                .iter()
                .find(|line| (line.frequency_hz - hz).abs() < 0.01)
                .map(of_impulses)
        };
        let expected = row.number("main_line_rel_peak_amplitude");
        assert!((near(main_hz).unwrap() / expected - 1.0).abs() < 1e-6);
        let low = lines.iter().filter(|line| line.frequency_hz < 200.0);
        let strongest = low.max_by(|a, b| of_impulses(a).total_cmp(&of_impulses(b)));
        match strongest {
            None => assert_eq!(row.text("its_rel_peak_amplitude"), ""),
            Some(line) => {
                assert!(
                    (line.frequency_hz - row.number("strongest_line_below_200Hz_hz")).abs() < 0.01
                );
                assert!(
                    (of_impulses(line) / row.number("its_rel_peak_amplitude") - 1.0).abs() < 1e-4
                );
            }
        }
    }
}

/// Amplitude of all lines within 1 Hz: a record of broken periods spreads one line over its neighbours.
fn within_one_hz(lines: &[PhasedLine], hz: f64) -> f64 {
    let near = lines
        .iter()
        .filter(|line| (line.frequency_hz - hz).abs() <= 1.0);
    near.map(|line| line.line().amplitude.powi(2))
        .sum::<f64>()
        .sqrt()
}

#[test]
fn lines_of_a_second_order_record_are_as_tabulated() {
    let mut seen = 0;
    for row in rows("density_stream_spectra.csv") {
        if row.text("order") != "2" || row.text("dither") != "none" {
            continue;
        }
        let (ones, _) = row.text("dc").split_once('/').unwrap();
        let density = Density::from_bits(ones.parse::<u32>().unwrap() << 16);
        let main_hz = row.number("strongest_line_hz");
        if density.to_bits() < 1 << 20 || main_hz > TICK_HZ / 4.0 {
            continue;
        }
        let mut modulator = SecondOrder::new(1 << 31);
        let flux: Vec<_> = (0..1 << 22)
            .map(|_| f64::from(u8::from(modulator.next_bit(density))))
            .collect();
        let lines = record_lines(
            &flux,
            TICK_HZ,
            LineBand {
                below_hz: TICK_HZ,
                floor: 1e-4,
            },
        );
        let along = PI * main_hz / TICK_HZ;
        let found = within_one_hz(&lines, main_hz) * along / along.sin();
        let expected = row.number("strongest_line_rel_amplitude");
        // The table's window sees a little more of a line that trembles.
        assert!((found / expected - 1.0).abs() < 0.1, "{row:?}: {found}");
        let lowest = lines
            .iter()
            .find(|line| line.line().amplitude > 0.05)
            .unwrap()
            .frequency_hz;
        assert!(
            (lowest / row.number("lowest_line_over_5pct_hz") - 1.0).abs() < 0.005,
            "{row:?}: {lowest}"
        );
        seen += 1;
    }
    assert!(seen >= 3, "{seen}");
}

#[test]
fn a_clock_moves_frequencies_and_nothing_else() {
    let line = PhasedLine {
        frequency_hz: 1000.0,
        cosine: 0.3,
        sine: 0.4,
    }
    .at_clock(0.98)
    .line();
    assert_eq!((line.frequency_hz, line.amplitude), (980.0, 0.5));
}
