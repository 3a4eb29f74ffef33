//! Shares of colours at random, in `f32`: sums, products, quotients and casts are the same everywhere by IEEE 754.

use milliglow::Share;
use milliglow::solve::{Chromaticity, Primary, Solved, ThreeChannels, TunableWhite};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(70));
    for _ in 0..60 {
        three(&mut random, &mut hash);
        pair(&mut random, &mut hash);
    }
    report("colours solved", hash.value());
}

/// 0 to 1, and a little beyond now and then.
fn part(random: &mut Random) -> f32 {
    let bits = (random.next() >> 16) as f32 / 65_536.0;
    if random.next().is_multiple_of(32) {
        bits - 0.1
    } else {
        bits
    }
}

fn light(random: &mut Random) -> Chromaticity {
    let x = part(random) * 0.7;
    let y = part(random) * (1.0 - x);
    Chromaticity { x, y }
}

fn primary(random: &mut Random) -> Primary {
    let (light, flux) = (light(random), part(random) * 500.0);
    Primary { light, flux }
}

fn hash_solved<const N: usize>(solved: &Solved<N>, hash: &mut Hash) {
    hash.words(solved.recipe.shares().map(Share::to_bits));
    hash.word(solved.reached.into());
}

fn three(random: &mut Random, hash: &mut Hash) {
    let channels = ThreeChannels::new([(); 3].map(|()| primary(random)));
    match channels {
        Ok(channels) => (0..40).for_each(|_| hash_solved(&channels.solve(light(random)), hash)),
        Err(error) => hash.word(error.message().len() as u32),
    }
}

fn pair(random: &mut Random, hash: &mut Hash) {
    match TunableWhite::new([(); 2].map(|()| primary(random))) {
        Ok(whites) => (0..40).for_each(|_| {
            hash_solved(&whites.solve(light(random)), hash);
            let kelvin = 500.0 + part(random) * 16_000.0;
            hash_solved(&whites.solve_cct(kelvin), hash);
        }),
        Err(error) => hash.word(error.message().len() as u32),
    }
}
