//! Recipes of colours at random.

use milliglow::bus::{Colour, Palette};
use milliglow::{Recipe, Share, constant};

use crate::Hash;
use crate::random::Random;

const COOL: Recipe<3> = Recipe::new([Share::NONE, Share::FULL, Share::from_bits(1 << 30)]);
const WARM: Recipe<3> = Recipe::new([Share::FULL, Share::NONE, Share::from_bits(1 << 31)]);
const PALETTE: Palette<3, 2> = constant!(Palette::new([(153, COOL), (370, WARM)]));

pub(super) fn script() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(18));
    for turn in 0..4_000 {
        let levels = [0; 6].map(|_: u16| random.next() as u16);
        let colour = match turn % 4 {
            0 => Colour::Mirek(levels[0] & 0x1FF),
            1 => Colour::Primaries(levels),
            2 => Colour::Rgbwaf(levels.map(|level| level as u8)),
            _ => Colour::Chromaticity {
                x: levels[0],
                y: levels[1],
            },
        };
        match PALETTE.recipe(colour) {
            Some(recipe) => hash.words(recipe.shares().map(Share::to_bits)),
            None => hash.word(0),
        }
    }
    hash.value()
}
