use crate::shapes::{at_middles, rectangle};
use milliglow_sim::metrics::flicker::{
    Samples,
    filtered_modulation::{CUT_OFFS_HZ, filtered_modulation},
    modulation::modulation,
};
use milliglow_tests::data::rows;
use milliglow_tests::{Agreement, Series};
use std::f64::consts::PI;

const RATE: usize = 20_000;

/// A second of the light of a row, sampled at instants like the table's: its edges fold, in both alike.
fn light(waveform: &str) -> Vec<f64> {
    let tones = |tones: &[(f64, f64)]| Series::tones(tones).sampled(RATE as f64, RATE);
    let pulses = |hz: usize, duty| at_middles(rectangle(duty, 0.0, 1.0), RATE / hz, RATE);
    match waveform {
        "sine 120 Hz m=0.40" => tones(&[(120.0, 0.4)]),
        "sine 100 Hz m=0.20 + 1 kHz m=0.50" => tones(&[(100.0, 0.2), (1000.0, 0.5)]),
        "sine 200 Hz m=0.5" => tones(&[(200.0, 0.5)]),
        "sine 10 Hz m=0.1 + 120 Hz m=0.25" => tones(&[(10.0, 0.1), (120.0, 0.25)]),
        "PWM 250 Hz duty 0.2" => pulses(250, 0.2),
        "PWM 1 kHz duty 0.1" => pulses(1000, 0.1),
        "square 100 Hz duty 0.5 0/1" => pulses(100, 0.5),
        "PWM 100 Hz duty 0.25 0/1" => pulses(100, 0.25),
        "full-wave rectified 50 Hz" => (0..RATE)
            .map(|index| (PI * (index % 200) as f64 / 200.0).sin())
            .collect(),
        other => panic!("unknown waveform {other}"),
    }
}

#[test]
fn brick_walls_give_the_tabulated_modulation() {
    let mut agreement = Agreement::with("flicker_filtered_modulation.csv");
    for row in rows("flicker_filtered_modulation.csv") {
        let values = light(row.text("waveform"));
        let samples = Samples {
            rate_hz: RATE as f64,
            values: &values,
        };
        let tolerance = row.number("abs_tolerance");
        let mut see = |column: &str, found: f64| {
            let what = format!("{} {column}", row.text("waveform"));
            agreement.see(&what, found, row.number(column), tolerance);
        };
        see(
            "mod_percent_unfiltered",
            modulation(samples, None).unwrap().percent,
        );
        for cut_off in CUT_OFFS_HZ {
            let found = filtered_modulation(samples, cut_off).unwrap();
            see(&format!("mod_percent_fc{cut_off}"), found);
        }
    }
}
