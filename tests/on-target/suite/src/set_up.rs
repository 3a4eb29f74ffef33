//! Ratios, shares and refusals.

use milliglow::curve::{ControlLevel, Exponential};
use milliglow::density::{Density, DitherWidth, Lfsr32, NoiseSource};
use milliglow::{Error, Light, Recipe, Share};

use crate::random::Random;
use crate::{Hash, Report};

pub(crate) fn run(report: Report<'_>) {
    ratios(report);
    products(report);
    floats(report);
    refusals(report);
    noise(report);
}

fn ratios(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(1));
    for _ in 0..20_000 {
        let (a, b) = (random.any_length(), random.any_length());
        let light = Light::from_ratio_nearest(a, b).map_or(7, |light| light.to_fixed().to_bits());
        let share = Share::from_ratio_nearest(b, a).map_or(7, Share::to_bits);
        hash.words([light, share]);
    }
    report("ratios", hash.value());
}

fn products(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(2));
    for _ in 0..65_536 {
        let shares = [random.next(), random.any_length()].map(Share::from_bits);
        let recipe = Recipe::new(shares);
        let light = Light::from_bits(random.any_length());
        hash.words(
            recipe
                .lights(light)
                .map(|light| Density::from_light(light).to_bits()),
        );
        hash.word(recipe.shares()[0].of(Light::FULL).to_bits());
    }
    report("products", hash.value());
}

/// Floats are exact here: whole numbers of 32 bits over a power of two.
fn floats(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(10));
    for _ in 0..2_000 {
        let bits = random.any_length();
        let floats = [
            Light::from_bits(bits).as_f64(),
            Share::from_bits(bits).as_f64(),
            Density::from_bits(bits).as_f64(),
        ];
        for float in floats.map(f64::to_bits) {
            hash.words([float as u32, (float >> 32) as u32]);
        }
        let fixed = Light::from_fixed(Light::from_bits(bits).to_fixed());
        hash.word(u32::from(Light::from(fixed.to_bits())));
    }
    report("floats", hash.value());
}

fn refusals(report: Report<'_>) {
    let mut hash = Hash::new();
    let mut refused = |error: Option<Error>| {
        for text in error
            .iter()
            .flat_map(|error| [error.message(), error.parameter()])
        {
            hash.words(text.bytes().map(u32::from));
        }
        hash.word(u32::from(error.is_some()));
    };
    refused(Exponential::new(9, 0).err());
    refused(Exponential::new(100_001, 0).err());
    refused(Exponential::new(10, 4_097).err());
    refused(Light::from_ratio_nearest(1, 0).err());
    refused(Lfsr32::new(0).err());
    for number in 0..=u8::MAX {
        refused(ControlLevel::new(number).err());
        refused(DitherWidth::new(number).err());
    }
    report("refusals", hash.value());
}

fn noise(report: Report<'_>) {
    let mut hash = Hash::new();
    if let Ok(mut noise) = Lfsr32::new(1) {
        hash.words((0..32_768).map(|_| noise.next()));
    }
    report("noise", hash.value());
}
