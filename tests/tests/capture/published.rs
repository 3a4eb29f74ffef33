//! Values of the published tables, from captures that sox and numpy made.

use milliglow_sim::capture::Options;
use milliglow_sim::measure;
use milliglow_tests::data::rows;

use crate::{capture, kinds, measured, plainly, reason, worst};

/// SVM of a row of the table.
fn published_svm(waveform: &str, parameters: &str, fundamental_hz: f64) -> f64 {
    let table = rows("svm_waveforms.csv");
    let row = table.iter().find(|row| {
        row.text("waveform") == waveform
            && row.text("parameters") == parameters
            && row.number("fundamental_hz") == fundamental_hz
    });
    row.expect("a row").number("svm_T_A_logistic")
}

#[track_caller]
fn assert_near(found: f64, expected: f64, relative: f64) {
    assert!(
        (found / expected - 1.0).abs() <= relative,
        "{found} {expected}"
    );
}

#[test]
fn a_sine_of_sox_in_every_format_gives_the_published_svm_and_modulation() {
    let svm = published_svm("sine", "m=0.5", 100.0);
    // Eight bits are steps of 1.6 % of the mean.
    for (name, tolerance) in [
        ("sine_pcm8.wav", 0.01),
        ("sine_pcm16.wav", 1e-3),
        ("sine_pcm24.wav", 1e-3),
        ("sine_pcm32.wav", 1e-3),
        ("sine_float.wav", 1e-3),
    ] {
        let measured = plainly(name);
        assert_near(worst(&measured, "svm"), svm, tolerance);
        assert_near(worst(&measured, "modulation_percent"), 50.0, tolerance);
        // m / pi: flicker_index_modulation.csv.
        assert_near(
            worst(&measured, "flicker_index"),
            0.5 / std::f64::consts::PI,
            tolerance,
        );
        assert_near(worst(&measured, "dominant_frequency_hz"), 100.0, 1e-5);
        assert_near(measured.survey.mean, 0.5, 1e-3);
    }
    assert!(kinds(&plainly("sine_pcm8.wav")).contains(&"coarse_quantisation"));
    assert!(!kinds(&plainly("sine_pcm24.wav")).contains(&"coarse_quantisation"));
}

#[test]
fn a_flickermeter_waveform_of_numpy_gives_pst_lm_1() {
    let measured = plainly("flickermeter_1620.wav");
    assert_near(worst(&measured, "pst_lm"), 1.0, 0.01);
    assert!(reason(&measured, "svm").contains("sampled at 2 kHz; needs 4 kHz"));
    assert!(kinds(&measured).contains(&"short_record"));
    let (begin_s, severity) = measured.severity.expect("a reading");
    assert_eq!(begin_s, 0.0);
    assert!(
        severity
            .pinst
            .iter()
            .all(|pinst| (1.9..2.1).contains(pinst))
    );
}

#[test]
fn a_square_of_numpy_as_csv_gives_the_published_svm() {
    let measured = plainly("square.csv");
    assert_near(
        worst(&measured, "svm"),
        published_svm("square 0/1", "duty=0.5", 200.0),
        0.005,
    );
    assert_near(measured.rate_hz, 5000.0, 1e-9);
    assert!(reason(&measured, "ieee1789_no_effect").contains("needs 6 kHz"));
}

#[test]
fn a_column_of_values_needs_its_rate_and_gives_the_published_filtered_modulation() {
    let form = Options {
        rate_hz: Some(20_000.0),
        ..Options::default()
    };
    let measured = measured(&capture("tones.csv"), &form, &measure::Options::default()).unwrap();
    let table = rows("flicker_filtered_modulation.csv");
    let row = &table[1];
    assert_eq!(row.text("waveform"), "sine 100 Hz m=0.20 + 1 kHz m=0.50");
    let cut_offs = ["40", "90", "200", "400", "1000"];
    for cut_off in cut_offs {
        let found = worst(&measured, &format!("modulation_to_{cut_off}_hz_percent"));
        let expected = row.number(&format!("mod_percent_fc{cut_off}"));
        assert!(
            (found - expected).abs() <= row.number("abs_tolerance"),
            "{cut_off} {found}"
        );
    }
    assert_near(
        worst(&measured, "modulation_percent"),
        row.number("mod_percent_unfiltered"),
        1e-3,
    );
}

/// Semicolons, decimal commas, microseconds in the header, intervals off by up to 40 %.
#[test]
fn uneven_times_are_resampled_with_a_stated_error_that_holds() {
    let measured = plainly("uneven.csv");
    let expected = published_svm("sine", "m=0.3", 120.0);
    let warning = &measured.warnings[0];
    assert_eq!(warning.kind.id(), "non_uniform_times");
    assert!(
        warning.message.contains("0.1506 % of a line at 100 Hz"),
        "{}",
        warning.message
    );
    assert_near(worst(&measured, "svm"), expected, 0.0015 * 1.44);
    assert_near(measured.rate_hz, 8000.0, 1e-4);
    // Samples held instead of lying on lines would scatter by the unevenness of their times.
    let shown = measured.shown.expect("a segment");
    let others = shown
        .lines
        .iter()
        .filter(|line| (line.frequency_hz - 120.0).abs() > 5.0);
    let most = others.map(|line| line.amplitude).fold(0.0, f64::max);
    assert!(most < 1e-4, "{most}");
}

#[test]
fn a_square_as_streams_gives_the_published_svm() {
    let form = Options {
        weights: vec![("red".to_owned(), 3.0)],
        ..Options::default()
    };
    let measured = measured(&capture("square.vcd"), &form, &measure::Options::default()).unwrap();
    assert_near(
        worst(&measured, "svm"),
        published_svm("square 0/1", "duty=0.5", 200.0),
        0.001,
    );
    assert_near(measured.survey.mean, 1.5, 1e-4);
}

#[test]
fn dark_level_bandwidth_and_luminance_are_obeyed() {
    let dark = measure::Dark::of(
        &milliglow_sim::capture::Capture::open(&capture("dark.wav"), &Options::default()).unwrap(),
    )
    .unwrap();
    assert_near(dark.level, 0.1, 1e-3);
    assert_near(dark.noise_rms, 0.0005, 0.05);
    let options = measure::Options {
        dark: Some(dark),
        bandwidth_hz: Some(1500.0),
        luminance_cd_m2: Some(100.0),
        ..measure::Options::default()
    };
    let measured = measured(&capture("sine_pcm16.wav"), &Options::default(), &options).unwrap();
    // 0.25 of 0.5 - 0.1.
    assert_near(worst(&measured, "modulation_percent"), 62.5, 1e-3);
    assert!(reason(&measured, "svm").contains("the band ends at 1.5 kHz; needs 2 kHz"));
    assert_near(worst(&measured, "ieee1789_low_risk"), 0.625 / 0.08, 1e-3);
    assert!(worst(&measured, "visibility") < 1.0);
    assert!(reason(&plainly("sine_pcm16.wav"), "visibility").contains("--luminance"));
}

#[test]
fn noise_that_reads_near_a_limit_leaves_it_not_judged() {
    let file = capture("dark.wav");
    let mut dark = measure::Dark::of(
        &milliglow_sim::capture::Capture::open(&file, &Options::default()).unwrap(),
    )
    .unwrap();
    // Light of twice the dark's noise: the record of the dark itself, its level kept but for a hair.
    dark.level -= 0.001;
    let options = measure::Options {
        dark: Some(dark),
        ..measure::Options::default()
    };
    let measured = measured(&file, &Options::default(), &options).unwrap();
    assert!(reason(&measured, "ieee1789_no_effect").contains("noise alone reads"));
}

#[test]
fn noise_gates_pst_lm_and_the_figures_without_a_limit() {
    let dark =
        milliglow_sim::capture::Capture::open(&capture("dark.wav"), &Options::default()).unwrap();
    let dark = measure::Dark::of(&dark).unwrap();
    let with_level = |level: f64, name: &str| {
        let mut dark = dark.clone();
        dark.level = level;
        let options = measure::Options {
            dark: Some(dark),
            ..measure::Options::default()
        };
        measured(&capture(name), &Options::default(), &options).unwrap()
    };
    // Noise of 0.0005 RMS on a mean of 0.6 is nothing; on one of 0.004 it is an eighth of the light.
    let quiet = with_level(0.0, "flickermeter_1620.wav");
    assert_near(worst(&quiet, "pst_lm"), 1.0, 0.01);
    assert!(worst(&quiet, "modulation_percent") > 10.0);
    let noisy = with_level(dark.level - 0.004, "dark.wav");
    for id in [
        "pst_lm",
        "modulation_percent",
        "flicker_index",
        "dominant_frequency_hz",
        "ieee1789_low_risk",
    ] {
        assert!(reason(&noisy, id).contains("noise alone reads"), "{id}");
    }
}
