//! Gaps and clips cost their segments alone; long records are cut into segments.

use std::f64::consts::PI;
use std::fmt::Write;

use milliglow_sim::capture::Options;
use milliglow_sim::measure;
use milliglow_tests::program::Folder;

use crate::{kinds, measured, worst};

/// 100 Hz of a modulation that depends on time, at 1 kHz, `skipped` times left out.
fn csv(seconds: f64, modulation: impl Fn(f64) -> f64, skipped: impl Fn(f64) -> bool) -> String {
    let mut text = "time_s,light\n".to_owned();
    for index in 0..(seconds * 1000.0) as u32 {
        let time = f64::from(index) / 1000.0;
        if !skipped(time) {
            let light = 1.0 + modulation(time) * (2.0 * PI * 100.0 * time).sin();
            writeln!(text, "{time:.3},{light:.5}").unwrap();
        }
    }
    text
}

fn of(text: &str, options: &measure::Options) -> measure::Measured {
    let folder = Folder::new();
    folder.write("capture.csv", text);
    measured(
        &folder.path().join("capture.csv"),
        &Options::default(),
        options,
    )
    .unwrap()
}

#[test]
fn the_worst_segment_the_median_and_the_time_are_told() {
    let text = csv(
        30.0,
        |time| {
            if (20.0..21.0).contains(&time) {
                0.5
            } else {
                0.1
            }
        },
        |_| false,
    );
    let measured = of(&text, &measure::Options::default());
    let series = measured.series("modulation_percent").unwrap();
    assert!((series.worst.unwrap() - 47.6).abs() < 3.0, "{series:?}");
    assert!((series.median.unwrap() - 9.6).abs() < 0.5, "{series:?}");
    let (begin_s, end_s) = series.worst_at_s.unwrap();
    assert!((end_s - begin_s - 3.0).abs() < 1e-6, "{series:?}");
    assert!(begin_s < 21.0 && end_s > 20.0, "{series:?}");
    assert_eq!(series.judged, 19);
}

#[test]
fn a_gap_begins_a_new_stretch_at_its_own_time() {
    let text = csv(
        20.0,
        |time| if time > 15.0 { 0.4 } else { 0.1 },
        |time| (8.0..13.0).contains(&time),
    );
    let measured = of(&text, &measure::Options::default());
    assert!(kinds(&measured).contains(&"gaps"));
    let stretches = &measured.survey.stretches;
    assert_eq!(stretches.len(), 2);
    assert!((stretches[1].begin_s - 13.0).abs() < 0.002, "{stretches:?}");
    let series = measured.series("modulation_percent").unwrap();
    assert_eq!(series.judged, 2);
    assert!(
        (series.worst_at_s.unwrap().0 - 13.0).abs() < 0.002,
        "{series:?}"
    );
}

#[test]
fn a_clip_costs_its_segments_alone() {
    let text = csv(
        30.0,
        |time| {
            if (20.0..20.1).contains(&time) {
                0.9
            } else {
                0.1
            }
        },
        |_| false,
    );
    let options = measure::Options {
        full_scale: Some(1.5),
        ..measure::Options::default()
    };
    let measured = of(&text, &options);
    assert_eq!(kinds(&measured)[0], "clipping");
    let series = measured.series("modulation_percent").unwrap();
    assert!((2..=3).contains(&series.not_judged), "{series:?}");
    assert!(
        series.reason.as_ref().unwrap().contains("clipped at 20"),
        "{series:?}"
    );
    assert!(worst(&measured, "modulation_percent") < 11.0);
}

#[test]
fn pst_lm_is_judged_in_overlapping_segments_of_180_s() {
    // 10 Hz flicker of 2 % in the last minute of five.
    let text = {
        let mut text = "time_s,light\n".to_owned();
        for index in 0..600_000_u32 {
            let time = f64::from(index) / 2000.0;
            let swing = if time > 240.0 { 0.02 } else { 0.001 };
            let light = 1.0 + swing * (2.0 * PI * 10.0 * time).sin();
            writeln!(text, "{time:.4},{light:.5}").unwrap();
        }
        text
    };
    let measured = of(&text, &measure::Options::default());
    let series = measured.series("pst_lm").unwrap();
    assert_eq!(series.judged, 3, "{series:?}");
    let (begin_s, end_s) = series.worst_at_s.unwrap();
    assert!(
        begin_s >= 90.0 && (end_s - 300.0).abs() < 31.0,
        "{series:?}"
    );
    assert!(series.median < series.worst);
}

#[test]
fn a_flat_top_costs_its_segments_unless_a_full_scale_above_it_is_declared() {
    let mut text = "time_s,light\n".to_owned();
    for index in 0..30_000_u32 {
        let time = f64::from(index) / 1000.0;
        let swing = if (20.0..20.5).contains(&time) {
            0.5
        } else {
            0.2
        };
        let light = (1.0 + swing * (2.0 * PI * 7.3 * time).sin()).min(1.3);
        writeln!(text, "{time:.3},{light:.6}").unwrap();
    }
    let found = of(&text, &measure::Options::default());
    assert_eq!(kinds(&found)[0], "clipping");
    assert!(found.warnings[0].message.contains("looks cut off"));
    let series = found.series("modulation_percent").unwrap();
    assert!((2..=3).contains(&series.not_judged), "{series:?}");
    assert!((series.worst.unwrap() - 20.0).abs() < 0.2, "{series:?}");
    let declared = measure::Options {
        full_scale: Some(2.0),
        ..measure::Options::default()
    };
    let declared = of(&text, &declared);
    assert!(!kinds(&declared).contains(&"clipping"));
    assert_eq!(declared.series("modulation_percent").unwrap().not_judged, 0);
}

#[test]
fn light_without_its_mean_is_not_judged() {
    let text = csv(2.0, |_| 0.5, |_| false);
    let options = measure::Options {
        offset: 1.0,
        ..measure::Options::default()
    };
    let measured = of(&text, &options);
    assert_eq!(kinds(&measured)[0], "missing_dc");
    assert!(measured.series.iter().all(|series| series.worst.is_none()));
    assert!(
        measured.series[0]
            .reason
            .as_ref()
            .unwrap()
            .contains("missing DC")
    );
}
