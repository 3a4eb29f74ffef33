//! Rolling shutters against closed forms, and first-order streams against 1 / (2 n + 1).

use milliglow::density::{Density, FirstOrder};
use milliglow_sim::metrics::camera::{
    Camera, contrast, extremes, rectangle_row_light, row_light_at_any_phase, sine_contrast,
    worst_bands,
};
use milliglow_sim::optics::{SteadyChannel, Summed, light_in_a_window};
use milliglow_tests::data::{Row, rows};
use std::f64::consts::PI;

/// Within 0.1 %, or a ten-millionth of an exposure that is printed with 8 digits.
#[track_caller]
fn assert_as_tabulated(found: f64, row: &Row) {
    let expected = row.number("michelson_contrast");
    assert!(
        (found - expected).abs() <= 1e-3 * expected + 1e-7,
        "{row:?}: {found}"
    );
}

#[test]
fn closed_forms_are_as_tabulated() {
    let mut kinds = [0, 0];
    for row in rows("camera_band_contrast.csv") {
        let (f, exposure) = (row.number("f_hz"), row.number("exposure_s"));
        if row.text("waveform") == "sinusoid" {
            assert_as_tabulated(sine_contrast(row.number("modulation"), f, exposure), &row);
            kinds[0] += 1;
        } else {
            let (least, most) = rectangle_row_light(f, row.number("duty"), exposure);
            assert_as_tabulated(contrast(least, most), &row);
            let mean = row.number("duty") * exposure;
            let swing = (most - least) / mean;
            assert!((swing - row.number("peak_to_peak_over_mean")).abs() <= 1e-3 * swing + 1e-6);
            kinds[1] += 1;
        }
    }
    assert_eq!(kinds, [10, 11]);
}

/// The model itself, fed with the summed light of each waveform, at very many phases.
#[test]
fn rows_of_the_model_show_the_tabulated_contrast() {
    for row in rows("camera_band_contrast.csv") {
        let (f, exposure) = (row.number("f_hz"), row.number("exposure_s"));
        let step = 1.0 / f / 4_000.0;
        let found = if row.text("waveform") == "sinusoid" {
            let modulation = row.number("modulation");
            let light = |t: f64| t - modulation * (2.0 * PI * f * t).cos() / (2.0 * PI * f);
            row_light_at_any_phase(light, exposure, step, 4_000)
        } else {
            let duty = row.number("duty");
            let light = |t: f64| ((t * f).floor() * duty + (t * f).fract().min(duty)) / f;
            row_light_at_any_phase(light, exposure, step, 4_000)
        };
        assert_as_tabulated(contrast(found.0, found.1), &row);
    }
}

fn phone(exposure_s: f64) -> Camera {
    Camera {
        frame_hz: 30.0,
        rows: 1_080,
        line_s: 27e-6,
        exposure_s,
    }
}

const TICK_HZ: f64 = 3e6;

fn channel(density: f64, flux: f64) -> SteadyChannel {
    SteadyChannel::new(
        Density::from_bits((density * 4_294_967_296.0) as u32),
        0x1234_5678,
        flux,
    )
}

fn in_ticks(seconds: f64) -> u64 {
    (seconds * TICK_HZ).round() as u64
}

#[test]
fn first_order_bands_have_one_over_two_n_plus_one() {
    for (density, exposure) in [
        (0.001, 1.0 / 1_300.0),
        (0.001, 1.0 / 60.5),
        (0.01, 1.0 / 210.0),
        (0.37, 1.0 / 7_000.3),
        (0.93, 1.0 / 8_000.7),
    ] {
        let camera = phone(exposure);
        let light = channel(density, 2.5);
        let worst = worst_bands(camera.exposures_in_ticks(TICK_HZ), |s| {
            light_in_a_window(&[light], in_ticks(s))
        })
        .unwrap();
        // Pulses in the shortest exposure: the fewest that any exposure judged holds.
        let shortest = (camera.exposures().0 * TICK_HZ).ceil();
        let n = (shortest * light.density.as_f64()).floor();
        assert!(
            (worst.contrast * (2.0 * n + 1.0) - 1.0).abs() < 1e-12,
            "{density}: {worst:?}"
        );
        // And what is stepped shows just that.
        let summed = |s: f64| light.light_until(s * TICK_HZ);
        let seen = row_light_at_any_phase(summed, worst.exposure_s, 1.0 / TICK_HZ, 20_000);
        assert!(
            (contrast(seen.0, seen.1) / worst.contrast - 1.0).abs() < 1e-6,
            "{density}: {seen:?}"
        );
    }
}

#[test]
fn one_exposure_may_pass_by_coincidence() {
    let (light, camera) = (channel(0.001, 1.0), phone(0.002));
    let (least, most) = light_in_a_window(&[channel(1.0 / 1_024.0, 1.0)], 6 * 1_024);
    assert_eq!(contrast(least, most), 0.0);
    let worst = worst_bands(camera.exposures_in_ticks(TICK_HZ), |s| {
        light_in_a_window(&[light], in_ticks(s))
    })
    .unwrap();
    assert!((worst.contrast - 1.0 / 11.0).abs() < 1e-12, "{worst:?}");
}

#[test]
fn the_pulse_rate_to_pass_passes_and_less_fails() {
    let camera = phone(1.0 / 500.0);
    for limit in [0.02, 1.0 / 3.0, 0.2, 0.001] {
        let rate = camera.pulse_rate_to_pass(limit);
        let worst = |rate: f64| {
            let light = [channel(rate / TICK_HZ, 1.0)];
            worst_bands(camera.exposures_in_ticks(TICK_HZ), |s| {
                light_in_a_window(&light, in_ticks(s))
            })
            .unwrap()
            .contrast
        };
        assert!(worst(rate * 1.001) <= limit + 1e-12, "{limit}");
        assert!(worst(rate * 0.998) > limit, "{limit}");
    }
    assert_eq!(camera.pulse_rate_to_pass(1.0), 0.0);
}

/// Ones of the modulator, counted.
#[test]
fn summed_light_is_what_the_modulator_gives() {
    for (bits, phase) in [
        (4_294_967, 0),
        (1 << 31, 1 << 31),
        (0xFFFF_0000, 77),
        (u32::MAX, 5),
        (0, 9),
    ] {
        let density = Density::from_bits(bits);
        let channel = SteadyChannel::new(density, phase, 2.0);
        let mut words = vec![0; 200];
        FirstOrder::new(phase).fill(density, &mut words);
        let on = |tick: usize| f64::from(words[tick / 32] >> (31 - tick % 32) & 1);
        let ticks = 32 * words.len();
        let recorded = Summed::new((0..ticks).map(on));
        let mut sum = 0.0;
        for tick in 0..ticks {
            let on = on(tick);
            for part in [0.0, 0.25] {
                let at = tick as f64 + part;
                assert_eq!(channel.light_until(at), 2.0 * (sum + part * on));
                assert_eq!(recorded.light_until(at), sum + part * on);
            }
            sum += on;
        }
        assert_eq!(recorded.light_until(1e9), sum);
        assert_eq!(recorded.light_until(-1.0), 0.0);
    }
}

#[test]
fn a_frame_reads_row_by_row() {
    // A ramp of light: summed, a parabola.
    let camera = Camera {
        frame_hz: 50.0,
        rows: 4,
        line_s: 0.001,
        exposure_s: 0.002,
    };
    let rows = camera.frame(|t| t * t / 2.0, 1.0);
    let expected = [1.001, 1.002, 1.003, 1.004];
    assert!(
        rows.iter()
            .zip(expected)
            .all(|(row, expected)| (row - expected).abs() < 1e-12),
        "{rows:?}"
    );
}

#[test]
fn frames_beat_with_a_light_beside_their_rate() {
    // 1 Hz beside the frame rate, rows read in no time: every frame sees another phase of the wave.
    let camera = Camera {
        frame_hz: 50.0,
        rows: 3,
        line_s: 0.0,
        exposure_s: 0.001,
    };
    let (f, modulation) = (51.0, 0.4);
    let light = |t: f64| t - modulation * (2.0 * PI * f * t).cos() / (2.0 * PI * f);
    let flicker = camera.frame_flicker(light, 0.0, 50);
    assert!(
        (flicker / sine_contrast(modulation, f, 0.001) - 1.0).abs() < 0.003,
        "{flicker}"
    );
    assert!(camera.frame_flicker(|t| t, 0.0, 5) < 1e-12);
}

#[test]
fn dark_and_nothing_have_no_contrast() {
    assert_eq!(contrast(0.0, 0.0), 0.0);
    assert_eq!(extremes([2.0, 3.0].into_iter()), (2.0, 3.0));
    assert_eq!(worst_bands(std::iter::empty(), |_| (0.0, 1.0)), None);
    assert_eq!(rectangle_row_light(100.0, 0.5, 0.005), (0.0, 0.005));
}
