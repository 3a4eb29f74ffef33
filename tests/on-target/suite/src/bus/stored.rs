//! Scenes and scripts at random, their images, whole and damaged, and scripts on their way.

use milliglow::bus::stored::{Book, ImageError, Playback, Scene, Step};
use milliglow::luminaire::Target;
use milliglow::{Level, Recipe, Share};

use crate::Hash;
use crate::random::Random;

type Pages = Book<2, 4, 6>;

fn scene(random: &mut Random) -> Scene<2> {
    let recipe = Recipe::new([random.next(), random.next()].map(Share::from_bits));
    let level = Level::from_bits(random.next() as u16);
    Scene {
        target: Target { level, recipe },
        tenths: random.next() as u16 % 20,
    }
}

fn step(random: &mut Random) -> Step {
    let (index, times) = (random.next() as u8 % 6, random.next() as u8 % 4);
    match random.next() % 8 {
        0 => Step::Repeat { from: index, times },
        1 => Step::Jump(index),
        2 => Step::Stop,
        3 | 4 => Step::Wait(random.next() as u16 % 20),
        _ => Step::Scene(index),
    }
}

fn book(random: &mut Random) -> Option<Pages> {
    let scenes = [(); 4].map(|()| scene(random));
    let steps = [(); 6].map(|()| step(random));
    Book::from_tables(&scenes, &steps).ok()
}

fn reason(error: ImageError) -> u32 {
    match error {
        ImageError::TooShort => 1,
        ImageError::Foreign => 2,
        ImageError::Version(version) => 100 + u32::from(version),
        ImageError::Checksum => 3,
        ImageError::Content => 4,
        ImageError::NoRoom => 5,
    }
}

pub(super) fn books() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(18));
    for _ in 0..400 {
        let mut image = [0; Pages::IMAGE_BYTES];
        if let Some(book) = book(&mut random) {
            let length = book.to_image(&mut image);
            hash.word(length.map_or_else(reason, |length| length as u32));
        }
        let mut single = [0; Scene::<2>::IMAGE_BYTES];
        let length = scene(&mut random).to_image(&mut single);
        hash.word(length.map_or_else(reason, |length| length as u32));
        read_back(&mut image, &mut random, &mut hash);
        let read = Scene::<2>::from_image(&single);
        hash.word(read.map_or_else(reason, |scene| scene.tenths.into()));
    }
    hash.value()
}

fn read_back(image: &mut [u8], random: &mut Random, hash: &mut Hash) {
    if let Some(byte) = image.get_mut(random.next() as usize % 200) {
        *byte ^= 1 << (random.next() % 8);
    }
    hash.words(image.iter().map(|&byte| byte.into()));
    let (read, error) = Pages::from_image_or(image, Book::new());
    hash.words([
        error.map_or(0, reason),
        Pages::from_image(image).is_ok().into(),
        read.scenes().len() as u32,
        read.steps().len() as u32,
    ]);
}

pub(super) fn playback() -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(19));
    for _ in 0..200 {
        let Some(book) = book(&mut random) else {
            continue;
        };
        let mut playback = Playback::new();
        for _ in 0..200 {
            let begun = playback.control_step(&book, 100);
            let level = begun.map_or(1, |(target, pace)| {
                u32::from(target.level.to_bits()) ^ pace.steps() << 16
            });
            hash.words([level, playback.place().into()]);
        }
    }
    hash.value()
}
