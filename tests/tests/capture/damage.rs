//! Whatever the bytes, the readers answer with a refusal or with finite numbers, never with a panic.

use std::fs;
use std::path::Path;

use milliglow_sim::capture::Options;
use milliglow_sim::measure::{self, Measured};
use milliglow_tests::program::Folder;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use crate::{capture, measured};

type Damage = (u8, u16, usize, u8);

/// Deletes, overwrites, repeats or flips `length` bytes at `place` (of 65 536ths).
fn damage(bytes: &mut Vec<u8>, (kind, place, length, byte): Damage) {
    let start = bytes.len() * usize::from(place) / 65_536;
    let end = (start + length).min(bytes.len());
    match kind {
        0 => drop(bytes.drain(start..end)),
        1 => bytes[start..end].fill(byte),
        2 => bytes[start..end].iter_mut().for_each(|one| *one ^= byte),
        _ => {
            let again = bytes[start..end].to_vec();
            bytes.splice(start..start, again);
        }
    }
}

/// Damages; half of them hit the first 128 bytes, where the header is.
fn damages(length: usize) -> impl Strategy<Value = Vec<Damage>> {
    let head = (128 * 65_536 / length).min(65_535) as u16;
    let place = prop_oneof![0..=head, any::<u16>()];
    prop::collection::vec((0_u8..4, place, 1_usize..12, any::<u8>()), 1..4)
}

fn all_finite(measured: &Measured) {
    for series in &measured.series {
        for value in [series.worst, series.median].into_iter().flatten() {
            assert!(value.is_finite(), "{} {value}", series.id);
        }
        assert!(series.worst.is_some() || series.reason.is_some() || series.judged == 0);
    }
    let document = milliglow_sim::report::measured::json(measured, &[]);
    assert!(document["mean"].is_null() || document["mean"].as_f64().is_some_and(f64::is_finite));
    assert!(!milliglow_sim::report::measured::html(measured, &[]).is_empty());
}

fn survives(file: &Path) {
    let form = Options {
        rate_hz: (file.extension().is_some_and(|ending| ending == "vcd")).then_some(2_000.0),
        ..Options::default()
    };
    match measured(file, &form, &measure::Options::default()) {
        Ok(measured) => all_finite(&measured),
        Err(refusal) => {
            let shown = refusal.to_string();
            assert!(
                shown.contains(file.to_str().unwrap()) && shown.len() < 1_000,
                "{shown}"
            );
        }
    }
}

/// A short valid file.
fn valid(ending: &str) -> Vec<u8> {
    match ending {
        "csv" => fs::read(capture("damaged/short.csv")),
        "wav" => fs::read(capture("damaged/short.wav")),
        _ => fs::read(capture("damaged/short.vcd")),
    }
    .expect("a short capture")
}

fn survives_damage(ending: &str, damages: Vec<Damage>) {
    let mut bytes = valid(ending);
    damages.into_iter().for_each(|one| damage(&mut bytes, one));
    let folder = Folder::new();
    let file = folder.path().join(format!("damaged.{ending}"));
    fs::write(&file, bytes).unwrap();
    survives(&file);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_500, rng_seed: RngSeed::Fixed(3), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn damaged_csv(damages in damages(3_000)) {
        survives_damage("csv", damages);
    }

    #[test]
    fn damaged_wav(damages in damages(2_700)) {
        survives_damage("wav", damages);
    }

    #[test]
    fn damaged_vcd(damages in damages(2_000)) {
        survives_damage("vcd", damages);
    }
}

#[test]
fn the_undamaged_files_are_judged() {
    for ending in ["csv", "wav", "vcd"] {
        let file = capture(&format!("damaged/short.{ending}"));
        let judged = measured(&file, &Options::default(), &measure::Options::default()).unwrap();
        assert!(
            judged.series("modulation_percent").unwrap().judged > 0,
            "{ending}"
        );
    }
}

#[test]
fn the_corpus_survives() {
    let mut count = 0;
    for entry in fs::read_dir(capture("damaged")).unwrap() {
        survives(&entry.unwrap().path());
        count += 1;
    }
    assert!(count >= 12, "{count}");
}
