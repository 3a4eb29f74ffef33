//! Coarse and full metrics agree: what the coarse ones find, the full ones find as well, and perhaps worse.

use super::coarse::{self, Patience};
use super::scores::REQUIREMENTS;
use super::{Candidate, Scores, Space, full};
use crate::description::{BUILT_IN, Description, parse};
use crate::optics::drivers::Driver;

const HARDLY: f64 = 1e-9;

fn space(luminaire: &Description) -> Vec<Candidate> {
    Space::of(luminaire)
        .unwrap_or_else(|error| panic!("{error}"))
        .candidates
}

/// No figure of a whole coarse look is worse than the full one, and whoever breaks a limit in a first look fails in full.
fn assert_agreed(luminaire: &Description, candidate: &Candidate) -> (Scores, Scores) {
    let described = candidate.described(luminaire);
    let (full, all) = (
        full::judge(&described),
        coarse::judge(&described, Patience::All),
    );
    for (id, _) in REQUIREMENTS {
        assert!(
            all.over(id) <= full.over(id) * (1.0 + HARDLY),
            "{id}: {candidate:?}\n{all:?}\n{full:?}"
        );
    }
    let first = coarse::judge(&described, Patience::FirstBreak);
    for id in first.broken() {
        assert!(
            full.over(id) > 1.0,
            "{id}: {candidate:?}\n{first:?}\n{full:?}"
        );
    }
    (first, full)
}

#[test]
fn first_order_designs_that_fail_coarsely_fail_in_full() {
    let keys = "\n[explore]\ntick_hz_min = 2_000_000\ntick_hz_max = 6_000_000\norders = [1]\nstretches = [1, 16]\n\
                stretch_from_percent = [0.5, 20.0]\nrange_ratios = [1, 8]\n";
    // Its chip is too slow for most of these rates; this is about light.
    let luminaire = Description {
        chip: None,
        ..parse(&(BUILT_IN.to_owned() + keys), "cove").unwrap()
    };
    let (mut passed, mut failed) = (0, 0);
    for candidate in space(&luminaire).iter().step_by(5) {
        let (first, full) = assert_agreed(&luminaire, candidate);
        passed += u32::from(first.keep_all());
        failed += u32::from(!first.keep_all());
        // The lights of the coarse look are well chosen: what passes it by far passes in full.
        assert!(
            full.keep_all() || first.worst() > 0.7,
            "{candidate:?}\n{first:?}\n{full:?}"
        );
    }
    assert!(passed >= 2 && failed >= 2, "{passed} {failed}");
}

/// One channel and few ticks, so that records are short.
#[test]
fn designs_without_a_closed_form_that_fail_coarsely_fail_in_full() {
    let keys = "\n[explore]\ntick_hz_min = 60_000\ntick_hz_max = 120_000\norders = [1, 2]\nstretches = [1, 8]\n\
                stretch_from_percent = [50.0]\ndither_steps = [0, 1]\ntimer_bits = [0, 8]\n";
    let text = include_str!("../../luminaires/cove-light-first-draft.toml")
        .replace("control_hz = 50 ", "control_hz = 1_000 ");
    let mut luminaire = parse(&(text + keys), "draft").unwrap();
    luminaire.channels.truncate(1);
    luminaire.recipes.truncate(1);
    luminaire.recipes[0].shares.truncate(1);
    (luminaire.script, luminaire.cameras) = (Vec::new(), Vec::new());
    luminaire.requirements.lowest_light = 0.1;
    let (mut passed, mut failed) = (0, 0);
    for candidate in space(&luminaire).iter().step_by(9) {
        let (first, _) = assert_agreed(&luminaire, candidate);
        passed += u32::from(first.keep_all());
        failed += u32::from(!first.keep_all());
    }
    assert!(passed >= 1 && failed >= 3, "{passed} {failed}");
}

/// A rise that is longer than a tick leaves no pulse whole: the file would be refused.
#[test]
fn drivers_that_cannot_follow_are_no_design() {
    let luminaire = parse(BUILT_IN, "cove").unwrap();
    assert!(
        luminaire
            .channels
            .iter()
            .all(|channel| channel.driver != Driver::Ideal)
    );
    let candidates = space(&luminaire);
    let fastest = candidates.last().unwrap();
    let scores = coarse::judge(&fastest.described(&luminaire), Patience::All);
    assert_eq!(
        scores.broken().collect::<Vec<_>>(),
        ["driver_rise"],
        "{fastest:?}"
    );
}
