//! The emitted flux correction, against the one that the simulator runs.

use milliglow::flux_correction::{Estimator, Temperature};
use milliglow::{Light, Recipe, Share};
use milliglow_sim::description::read;
use milliglow_sim::thermal::correction;

use crate::{all_kinds, in_project};

/// Shares of a recipe after a warm second.
fn corrected<const N: usize>(estimator: &mut Estimator<'_, N>) -> [Share; N] {
    let mut shares = [Share::NONE; N];
    for (share, bits) in shares.iter_mut().zip([9_u32, 7, 5, 4, 3]) {
        *share = Share::from_bits(bits << 28);
    }
    let recipe = Recipe::new(shares);
    for _ in 0..10 {
        let lights = estimator.correct(&recipe).lights(Light::FULL);
        estimator.step(Temperature::from_millicelsius_nearest(55_000).ok(), &lights);
    }
    *estimator.correct(&recipe).shares()
}

#[test]
fn the_correction_is_that_of_the_simulator() {
    let (description, _) = read(&in_project("tests/data/emitted/all_kinds.toml")).unwrap();
    let simulated = correction(&description);
    let emitted = corrected(&mut Estimator::new(&all_kinds::FLUX_CORRECTION));
    let expected = corrected(&mut Estimator::new(&simulated));
    assert_eq!(emitted[..], expected[..all_kinds::CHANNELS]);
    // Bin, temperature and cap do something.
    assert!(emitted[0] < Share::from_bits(9 << 28), "{emitted:?}");
    assert_ne!(emitted[0].to_bits() / 9, emitted[1].to_bits() / 7);
}
