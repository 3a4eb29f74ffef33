//! Recipes through knots, looked up at random Levels.

use milliglow::{Knots, KnotsRef, Level, Recipe, Share};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(80));
    for turn in 0..400 {
        let mut level = random.next() as u16 / 4;
        let recipes = [(); 5].map(|()| {
            level = level.saturating_add(random.any_length() as u16 / 4);
            (Level::from_bits(level), recipe(&mut random))
        });
        let made = match turn % 4 {
            0 => Knots::new(recipes),
            _ => Knots::of_first(recipes, random.next() as usize % 7),
        };
        match made {
            Ok(knots) => look_up(&knots, &mut random, &mut hash),
            Err(error) => hash.word(error.message().len() as u32),
        }
    }
    report("knots", hash.value());
}

fn recipe(random: &mut Random) -> Recipe<3> {
    Recipe::new([(); 3].map(|()| Share::from_bits(random.any_length())))
}

fn look_up(knots: &Knots<3, 5>, random: &mut Random, hash: &mut Hash) {
    let borrowed: KnotsRef<'_, 3> = knots.borrowed();
    for _ in 0..64 {
        let level = Level::from_bits(random.next() as u16);
        hash.words(knots.recipe(level).shares().map(Share::to_bits));
        hash.words(borrowed.recipe(level).shares().map(Share::to_bits));
    }
}
