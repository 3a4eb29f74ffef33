//! Streams made from the constants, against those of `check`'s run.

use milliglow::luminaire::Luminaire;
use milliglow_sim::description::read;
use milliglow_tests::script_streams::{OF_NOTHING, hashed, hashes};

use crate::{aisle_marker, all_kinds, in_project};

/// Plays the script of an emitted module for so many control steps.
macro_rules! played {
    ($module:ident, $steps:expr) => {{
        let mut luminaire = Luminaire::new(&$module::CONFIGURATION).unwrap();
        let mut hashes = [OF_NOTHING; $module::CHANNELS];
        let fades = $module::SCRIPT.iter();
        let starts = fades.flat_map(|fade| {
            let later = (1..fade.control_steps).map(|_| None);
            std::iter::once(Some(fade)).chain(later)
        });
        let mut rest = 0;
        for start in starts.take($steps) {
            if let Some(fade) = start {
                fade.begin(&mut luminaire);
            }
            luminaire.control_step();
            rest += $module::TICK_HZ;
            while rest >= 32 * $module::CONTROL_HZ {
                rest -= 32 * $module::CONTROL_HZ;
                for (hash, word) in hashes.iter_mut().zip(luminaire.next_words()) {
                    *hash = hashed(*hash, word);
                }
            }
        }
        hashes.to_vec()
    }};
}

#[test]
fn along_knots() {
    let (description, _) = read(&in_project("host-sim/luminaires/aisle-marker.toml")).unwrap();
    assert_eq!(hashes(&description, 5_000), played!(aisle_marker, 5_000));
}

#[test]
fn of_every_modulation() {
    let (description, _) = read(&in_project("tests/data/emitted/all_kinds.toml")).unwrap();
    assert_eq!(hashes(&description, 1_001), played!(all_kinds, 1_001));
    // The script is all there is.
    let steps: u32 = all_kinds::SCRIPT
        .iter()
        .map(|fade| fade.control_steps)
        .sum();
    assert_eq!(steps, 1_001);
}
