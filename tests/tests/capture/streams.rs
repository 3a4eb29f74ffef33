//! `check --vcd` and `measure` agree: what is written as streams and read back has the metrics of the streams themselves.

use milliglow_sim::capture::Options;
use milliglow_sim::description::{BUILT_IN, LevelChoice, OperatingRow, parse};
use milliglow_sim::measure;
use milliglow_sim::metrics::flicker::{Samples, spectrum, svm::svm};
use milliglow_sim::optics::Decimator;
use milliglow_sim::report::write_vcd;
use milliglow_sim::run::{core_shares, level, luminaire};
use milliglow_tests::program::Folder;

use crate::{measured, worst};

const RATE_HZ: u32 = 20_000;
const SECONDS: f64 = 1.5;

#[test]
fn a_stream_read_back_has_the_metrics_of_the_stream() {
    // At 0.1 % and 700 kHz first-order streams pulse at 700 Hz and less.
    let mut description = parse(BUILT_IN, "slow").unwrap();
    description.tick_hz = 700_000;
    for channel in &mut description.channels {
        channel.rows = vec![OperatingRow::PLAIN];
    }
    let at = level(&description, LevelChoice::Light(0.001));
    let folder = Folder::new();
    let file = folder.path().join("streams.vcd");
    write_vcd(
        &description,
        0,
        at,
        SECONDS,
        std::fs::File::create(&file).unwrap(),
    )
    .unwrap();

    let flux = |index: usize| description.channels[index].flux_lm;
    let weights = (0..description.channels.len())
        .map(|index| (description.channels[index].name.clone(), flux(index)))
        .collect();
    let form = Options {
        weights,
        ..Options::default()
    };
    let read = measured(&file, &form, &measure::Options::default()).unwrap();

    // The same streams through the decimator, without a file.
    let mut stepped = luminaire(&description);
    stepped.fade_to(
        at,
        &core_shares(&description.recipes[0].shares),
        milliglow::fade::Pace::AT_ONCE,
    );
    stepped.control_step();
    let words = (SECONDS * f64::from(description.tick_hz) / 32.0).ceil() as usize;
    let mut buffers = vec![vec![0; words]; description.channels.len()];
    let mut slices: Vec<_> = buffers.iter_mut().map(|buffer| &mut buffer[..]).collect();
    stepped.fill(&mut slices);
    let weights: Vec<_> = (0..description.channels.len())
        .map(|index| [flux(index)])
        .collect();
    let mut decimator = Decimator::new(&weights, description.tick_hz, RATE_HZ);
    let mut values = Vec::new();
    let words: Vec<_> = buffers.iter().map(|buffer| &buffer[..]).collect();
    decimator.push(&words, |[value]| values.push(value));

    let direct = Samples {
        rate_hz: f64::from(RATE_HZ),
        values: &values,
    };
    let (found, expected) = (worst(&read, "svm"), svm(&spectrum::lines(direct).unwrap()));
    assert!(expected > 0.5, "{expected}");
    assert!((found / expected - 1.0).abs() < 1e-3, "{found} {expected}");
    let mean = direct.mean().unwrap();
    assert!(
        (read.survey.mean / mean - 1.0).abs() < 1e-3,
        "{} {mean}",
        read.survey.mean
    );
}

#[test]
fn check_writes_a_signal_a_channel_and_measure_reads_it() {
    let folder = Folder::new();
    let ended = folder.run(&[
        "check",
        "--quiet",
        "--vcd",
        "streams.vcd",
        "--vcd-light",
        "1",
    ]);
    assert!(ended.code < 2, "{}", ended.err);
    let text = folder.read("streams.vcd");
    for name in ["red", "green", "blue", "amber", "warm"] {
        assert!(text.contains(&format!(" {name} $end")), "{name}");
    }
    let ended = folder.run(&["measure", "streams.vcd", "--quiet", "--weight", "red=120"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let ended = folder.run(&["check", "--vcd-light", "1"]);
    assert_eq!(ended.code, 2);
}
