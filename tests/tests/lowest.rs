//! What becomes of lights below the lowest, seen through `check`.

use milliglow_sim::check::check;
use milliglow_sim::description::{BelowLowest, Description, Fade, LevelChoice};
use milliglow_sim::run::Observed;
use milliglow_sim::verdict::{Outcome, Verdict};
use milliglow_tests::plain_cove::one_channel;

const LOWEST: f64 = 0.002;

/// One channel that goes down to 0.1 %, although its lowest light is 0.2 %. Invented.
fn luminaire(below_lowest: BelowLowest) -> Description {
    let mut made = one_channel();
    made.cameras.clear();
    made.requirements.lowest_light = 0.01;
    made.operating.lowest_light = LOWEST;
    made.operating.below_lowest = below_lowest;
    let to = |light, seconds| Fade {
        recipe: 0,
        level: LevelChoice::Light(light),
        seconds,
        through: Vec::new(),
    };
    made.script = vec![to(0.01, 0.0), to(0.001, 0.5), to(0.001, 0.3), to(0.01, 0.5)];
    made
}

fn checked(description: &Description) -> (Observed, Vec<Verdict>) {
    check(description, |_| ())
}

/// Least and most flux over the channel's full, from one time to another.
fn light(observed: &Observed, from_s: f64, to_s: f64) -> (f64, f64) {
    let moments = observed.script.iter();
    let within = moments.filter(|moment| (from_s..to_s).contains(&moment.time_s));
    let densities: Vec<f64> = within.map(|moment| moment.densities[0]).collect();
    assert!(densities.len() > 10);
    let least = densities.iter().copied().fold(1.0, f64::min);
    (least, densities.iter().copied().fold(0.0, f64::max))
}

#[test]
fn off_is_dark_below_the_lowest_light_and_wakes_above_it() {
    let (observed, _) = checked(&luminaire(BelowLowest::Off));
    assert_eq!(light(&observed, 0.55, 0.75), (0.0, 0.0));
    let (least, most) = light(&observed, 0.0, 1.3);
    assert!(least == 0.0 && most > 0.0099, "{least} {most}");
    let lit = observed.script.iter().map(|moment| moment.densities[0]);
    let lowest_lit = lit.filter(|&density| density > 0.0).fold(1.0, f64::min);
    assert!(
        (LOWEST..1.05 * LOWEST).contains(&lowest_lit),
        "{lowest_lit}"
    );
    // Going up it wakes an eighth higher than it went off.
    let after = observed.script.iter().filter(|moment| moment.time_s > 0.8);
    let woken = after
        .map(|moment| moment.densities[0])
        .find(|&density| density > 0.0);
    let woken = woken.unwrap() / LOWEST;
    assert!((1.125..1.17).contains(&woken), "{woken}");
}

#[test]
fn hold_keeps_the_lowest_light() {
    let (observed, verdicts) = checked(&luminaire(BelowLowest::Hold));
    let (least, most) = light(&observed, 0.55, 0.75);
    assert!(
        (least / LOWEST - 1.0).abs() < 1e-6 && least == most,
        "{least} {most}"
    );
    let verdict = verdicts.iter().find(|verdict| verdict.id == "lowest_light");
    let verdict = verdict.unwrap();
    assert_eq!(
        (verdict.outcome, verdict.value),
        (Outcome::Pass, Some(LOWEST))
    );
    // One stream of full depth keeps "no effect" from 3 kHz on, at the slowest clock.
    assert!(
        (verdict.limit / (3_000.0 / 4.95e6) - 1.0).abs() < 2e-3,
        "{verdict:?}"
    );
}
