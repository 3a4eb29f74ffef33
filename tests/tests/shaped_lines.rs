//! Steady channels whose decisions last several ticks and whose driver's edges take light: lines, sums and windows.

use milliglow::density::{Density, FirstOrder};
use milliglow_sim::optics::{LineBand, PhasedLine, SteadyChannel, record_lines, steady_lines};

const EVERY: LineBand = LineBand {
    below_hz: f64::INFINITY,
    floor: 0.0,
};

fn channel(bits: u32, phase: u32, flux: f64, stretch: u8, edge_loss: f64) -> SteadyChannel {
    SteadyChannel {
        stretch,
        edge_loss,
        late_ticks: stretch - 1,
        ..SteadyChannel::new(Density::from_bits(bits), phase, flux)
    }
}

/// Flux tick by tick, each run of ones less its loss in its first decision; `before` says whether a one came before.
fn stepped(channel: &SteadyChannel, ticks: usize, mut before: bool) -> Vec<f64> {
    let mut modulator = FirstOrder::new(channel.phase);
    let mut flux = Vec::with_capacity(ticks);
    while flux.len() < ticks {
        let one = modulator.next_bit(channel.density);
        let loss = f64::from(u8::from(one && !before)) * channel.edge_loss;
        let light = channel.flux * (f64::from(u8::from(one)) - loss);
        flux.extend(std::iter::repeat_n(light, channel.stretch.into()));
        before = one;
    }
    flux
}

/// The last decision of a period, which comes before its first.
fn last_of_period(channel: &SteadyChannel, decisions: usize) -> bool {
    let mut modulator = FirstOrder::new(channel.phase);
    (0..decisions).fold(false, |_, _| modulator.next_bit(channel.density))
}

fn worst_distance(ours: &[PhasedLine], theirs: &[PhasedLine], below_hz: f64) -> f64 {
    let mut sums = std::collections::BTreeMap::<i64, (f64, f64)>::new();
    for (lines, sign) in [(ours, 1.0), (theirs, -1.0)] {
        for line in lines.iter().filter(|line| line.frequency_hz < below_hz) {
            let sum = sums.entry(line.frequency_hz.round() as i64).or_default();
            sum.0 += sign * line.cosine;
            sum.1 += sign * line.sine;
        }
    }
    sums.values().map(|(c, s)| c.hypot(*s)).fold(0.0, f64::max)
}

const SHAPES: [(u32, u8, f64); 8] = [
    (5, 1, 0.3),
    (300, 2, -0.2),
    (1023, 4, 0.0),
    (2047, 4, 0.25),
    (2048, 2, 0.5),
    (2049, 8, 0.25),
    (3001, 16, 0.4),
    (4090, 1, -0.3),
];

#[test]
fn lines_agree_with_the_fft_of_the_period() {
    const DECISIONS: usize = 1 << 12;
    for (count, stretch, edge_loss) in SHAPES {
        for phase in [0, 0x1234_5678, 0xFFFF_FFFF] {
            let channel = channel(count << 20, phase, 3.0, stretch, edge_loss);
            let ticks = DECISIONS * usize::from(stretch);
            let mut flux = stepped(&channel, ticks, last_of_period(&channel, DECISIONS));
            flux.rotate_right(channel.late_ticks.into());
            let tick_hz = ticks as f64;
            let ours = steady_lines(&[channel], tick_hz, EVERY);
            let theirs = record_lines(&flux, tick_hz, EVERY);
            // Lines from half the decision rate on are not given.
            let worst = worst_distance(&ours, &theirs, DECISIONS as f64 / 2.0 - 0.5);
            assert!(worst < 1e-11, "{channel:?}: {worst:e}");
            let mean = flux.iter().sum::<f64>() / ticks as f64;
            assert!((channel.mean() / mean - 1.0).abs() < 1e-12, "{channel:?}");
        }
    }
}

#[test]
fn channels_of_different_stretch_share_their_lines() {
    // 1/64 of every decision of 4 ticks, and 1/256 of every tick, pulse together.
    let slow = channel(1 << 26, 0, 1.0, 4, 0.0);
    let fast = channel(1 << 24, 0, 1.0, 1, 0.0);
    let band = LineBand {
        below_hz: 4_000.0,
        floor: 1e-9,
    };
    let lines = steady_lines(&[slow, fast], 1e6, band);
    assert_eq!(lines.len(), 1);
    assert_eq!(lines[0].frequency_hz, 3_906.25);
}

#[test]
fn light_until_a_time_is_the_sum_of_the_ticks() {
    for (count, stretch, edge_loss) in SHAPES {
        for phase in [0, 0x1234_5678, 0xFFFF_FFFF] {
            let channel = channel(count << 20, phase, 2.0, stretch, edge_loss);
            let mut flux = vec![0.0; channel.late_ticks.into()];
            flux.extend(stepped(&channel, 4_000, false));
            let mut sum = 0.0;
            for (tick, flux) in flux.iter().enumerate() {
                let found = channel.light_until(tick as f64);
                assert!((found - sum).abs() < 1e-9, "{channel:?} tick {tick}");
                let half = channel.light_until(tick as f64 + 0.5);
                assert!(
                    (half - sum - flux / 2.0).abs() < 1e-9,
                    "{channel:?} tick {tick}"
                );
                sum += flux;
            }
        }
    }
}

#[test]
fn windows_hold_what_any_window_of_the_stream_holds() {
    const DECISIONS: usize = 1 << 12;
    for (count, stretch, edge_loss) in SHAPES {
        let channel = channel(count << 20, 0, 1.0, stretch, edge_loss);
        let period = DECISIONS * usize::from(stretch);
        let mut flux = stepped(&channel, period, last_of_period(&channel, DECISIONS));
        flux.extend_from_within(..2_000);
        let until: Vec<f64> = std::iter::once(0.0)
            .chain(flux.iter().scan(0.0, |sum, flux| {
                *sum += flux;
                Some(*sum)
            }))
            .collect();
        for ticks in [1, 3, 16, 17, 100, 333, 1_999] {
            let windows = (0..period).map(|begin| until[begin + ticks] - until[begin]);
            let (least, most) = windows.fold((f64::MAX, f64::MIN), |(least, most), light| {
                (least.min(light), most.max(light))
            });
            let (low, high) = channel.light_in_a_window(ticks as u64);
            let edge = edge_loss.abs() * f64::from(stretch);
            // Exact where ones stand alone; above half density safe, by at most two edges.
            let slack = if count <= 2048 { 0.0 } else { 2.0 * edge };
            let beyond = [least - low, high - most];
            assert!(
                beyond.iter().all(|by| (-1e-9..slack + 1e-9).contains(by)),
                "{channel:?} {ticks}: {beyond:?}"
            );
        }
    }
}
