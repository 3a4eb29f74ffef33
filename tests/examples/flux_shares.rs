//! Says what the flux correction of a luminaire makes of full shares after a warm second, as `check` runs it: `flux_shares FILE`.

use std::path::PathBuf;

use milliglow::flux_correction::{Estimator, Temperature};
use milliglow::{Light, Recipe, Share};
use milliglow_sim::description::read;
use milliglow_sim::thermal::correction;

fn main() {
    let file = PathBuf::from(std::env::args().nth(1).expect("a luminaire"));
    let (description, _) = read(&file).expect("a luminaire");
    let correction = correction(&description);
    let mut estimator = Estimator::new(&correction);
    let (mut lights, mut full) = (
        Recipe::new([Share::NONE; 16]).lights(Light::FULL),
        [Share::NONE; 16],
    );
    for (light, share) in lights
        .iter_mut()
        .zip(&mut full)
        .take(description.channels.len())
    {
        (*light, *share) = (Light::FULL, Share::FULL);
    }
    for _ in 0..10 {
        estimator.step(Temperature::from_millicelsius_nearest(55_000).ok(), &lights);
    }
    let corrected = estimator.correct(&Recipe::new(full));
    let shares = corrected.shares().iter().take(description.channels.len());
    shares.for_each(|share| println!("share {:08x}", share.to_bits()));
}
