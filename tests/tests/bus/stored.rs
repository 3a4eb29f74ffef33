//! Scenes, scripts and settings as images: whole or refused; and scripts on their way.

use crate::control_gear::*;
use milliglow::bus::iec62386::{Gear, SETTINGS_BYTES, Settings};
use milliglow::bus::stored::{Book, BookError, ImageError, Playback, Scene, Step, VERSION};
use milliglow::luminaire::Target;
use milliglow::{Level, Recipe, Share};
use milliglow_tests::cases::{cases, fractions};
use proptest::array::uniform3;
use proptest::prelude::*;

type Small = Book<3, 8, 12>;

fn scene(level: u16, tenths: u16) -> Scene<3> {
    Scene {
        target: Target {
            level: Level::from_bits(level),
            recipe: Recipe::new([u32::from(level), 7, u32::MAX].map(Share::from_bits)),
        },
        tenths,
    }
}

/// A dawn of 40 min, then three times to and fro, then for ever on from the wait.
fn example() -> Small {
    let scenes = [scene(10, 0), scene(65_535, 24_000), scene(30_000, 20)];
    let steps = [
        Step::Scene(0),
        Step::Scene(1),
        Step::Wait(5),
        Step::Scene(2),
        Step::Scene(0),
        Step::Repeat { from: 3, times: 2 },
        Step::Jump(2),
    ];
    Book::from_tables(&scenes, &steps).expect("tables that agree")
}

fn image(book: &Small) -> Vec<u8> {
    let mut bytes = vec![0; Small::IMAGE_BYTES];
    let length = book.to_image(&mut bytes).expect("room");
    bytes.truncate(length);
    bytes
}

#[test]
fn each_flipped_bit_is_refused() {
    let good = image(&example());
    assert_eq!(Small::from_image(&good), Ok(example()));
    let defaults = Book::from_tables(&[scene(1, 1)], &[Step::Scene(0)]).expect("tables that agree");
    for bit in 0..good.len() * 8 {
        let mut bad = good.clone();
        bad[bit / 8] ^= 1 << (bit % 8);
        let (book, error) = Small::from_image_or(&bad, defaults.clone());
        assert_eq!(book, defaults, "bit {bit}");
        assert!(error.is_some(), "bit {bit}");
    }
    assert_eq!(Small::from_image_or(&good, defaults), (example(), None));
}

#[test]
fn each_flipped_bit_of_settings_is_refused() {
    let mut bus = Bus::new();
    bus.set(SET_MINIMUM, 90);
    bus.set(0x63, 0);
    bus.set(0x45, 200);
    let mut good = [0; SETTINGS_BYTES];
    assert_eq!(bus.gear.settings().to_image(&mut good), Ok(SETTINGS_BYTES));
    assert_eq!(
        Settings::from_image(&good).as_ref(),
        Ok(bus.gear.settings())
    );
    for bit in 0..good.len() * 8 {
        let mut bad = good;
        bad[bit / 8] ^= 1 << (bit % 8);
        assert!(Settings::from_image(&bad).is_err(), "bit {bit}");
    }
}

/// CRC-32 of ISO-HDLC, bit by bit.
fn checksum(bytes: &[u8]) -> u32 {
    let sum = bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            (sum >> 1) ^ if sum & 1 == 1 { 0xEDB8_8320 } else { 0 }
        })
    });
    !sum
}

/// Whole images of settings that no gear can have, by each byte of the content and its every value.
#[test]
fn settings_that_no_gear_has() {
    let mut bus = Bus::new();
    bus.set(SHORT_ADDRESS, 5 << 1 | 1);
    let mut good = [0; SETTINGS_BYTES];
    bus.gear.settings().to_image(&mut good).expect("room");
    let content = 6;
    for value in 0..=255 {
        for (place, is_good) in [
            // Physical minimum, minimum (60 both), maximum.
            (0, (1..=60).contains(&value)),
            (1, (60..=254).contains(&value)),
            (2, (60..=254).contains(&value)),
            (8, value < 64 || value == 255),
            (9, (1..=254).contains(&value)),
            // The kind of the first scene's colour.
            (13, value <= 4),
        ] {
            let mut image = good;
            image[content + place] = value;
            let end = SETTINGS_BYTES - 4;
            let sum = checksum(&image[..end]).to_le_bytes();
            image[end..].copy_from_slice(&sum);
            let expected = (!is_good).then_some(ImageError::Content);
            let got = Settings::from_image(&image).err();
            assert_eq!(got, expected, "byte {place}: {value}");
        }
    }
}

/// What was lit last, for the start after a brown-out: each prefix of it that a failing supply may leave, and each bit.
#[test]
fn a_scene_to_resume() {
    let last = scene(12_345, 30);
    let mut good = [0xFF; Scene::<3>::IMAGE_BYTES];
    assert_eq!(last.to_image(&mut good), Ok(good.len()));
    assert_eq!(Scene::from_image(&good), Ok(last));
    for bit in 0..good.len() * 8 {
        let mut bad = good;
        bad[bit / 8] ^= 1 << (bit % 8);
        assert!(Scene::<3>::from_image(&bad).is_err(), "bit {bit}");
    }
    for written in 0..good.len() {
        let mut torn = [0xFF; Scene::<3>::IMAGE_BYTES];
        torn[..written].copy_from_slice(&good[..written]);
        assert!(
            Scene::<3>::from_image(&torn).is_err(),
            "{written} bytes written"
        );
    }
    assert_eq!(Scene::<2>::from_image(&good), Err(ImageError::Content));
    assert_eq!(Scene::<4>::from_image(&good), Err(ImageError::Content));
}

/// Too short, too long, another version, another kind, other channels, no room: each with its reason.
#[test]
fn reasons() {
    let good = image(&example());
    for length in 0..good.len() {
        assert_eq!(
            Small::from_image(&good[..length]),
            Err(ImageError::TooShort)
        );
        assert_eq!(
            example().to_image(&mut vec![0; length]),
            Err(ImageError::NoRoom)
        );
    }
    let mut longer = good.clone();
    longer.extend([0xFF; 40]);
    assert_eq!(
        Small::from_image(&longer),
        Ok(example()),
        "an erased page follows"
    );
    assert_eq!(Small::from_image(&[0xFF; 400]), Err(ImageError::Foreign));
    assert_eq!(Small::from_image(&[0; 400]), Err(ImageError::Foreign));
    for version in (0..=255).filter(|&version| version != VERSION) {
        let mut old = good.clone();
        old[2] = version;
        assert_eq!(Small::from_image(&old), Err(ImageError::Version(version)));
    }
    assert_eq!(
        Book::<2, 8, 12>::from_image(&good),
        Err(ImageError::Content)
    );
    assert_eq!(
        Book::<3, 2, 12>::from_image(&good),
        Err(ImageError::Content)
    );
    assert_eq!(Book::<3, 8, 6>::from_image(&good), Err(ImageError::Content));
    assert_eq!(Settings::from_image(&good), Err(ImageError::Foreign));
}

/// Tables that do not agree, at the step that is wrong.
#[test]
fn refused_tables() {
    let refused = |steps: &[Step]| Small::from_tables(&[scene(1, 1)], steps).err();
    assert_eq!(
        refused(&[Step::Scene(0), Step::Scene(1)]),
        Some(BookError::Step(1))
    );
    assert_eq!(refused(&[Step::Jump(1)]), Some(BookError::Step(0)));
    assert_eq!(
        refused(&[Step::Repeat { from: 1, times: 1 }]),
        Some(BookError::Step(0))
    );
    assert_eq!(
        refused(&[Step::Stop, Step::Repeat { from: 0, times: 0 }]),
        Some(BookError::Step(1))
    );
    assert_eq!(refused(&[Step::Stop; 13]), Some(BookError::Steps));
    assert_eq!(
        Small::from_tables(&[scene(1, 1); 9], &[]).err(),
        Some(BookError::Scenes)
    );
    assert_eq!(refused(&[Step::Stop; 12]), None);
}

/// When each scene begins, in control steps, at 100 Hz.
fn begins(book: &Small, steps: u32) -> Vec<(u32, Target<3>, u32)> {
    let mut playback = Playback::new();
    (0..steps)
        .filter_map(|now| {
            let (target, pace) = playback.control_step(book, 100)?;
            Some((now, target, pace.steps()))
        })
        .collect()
}

/// A scene in no time takes the control step in which it begins. Dawn takes 240 000, the wait 50, the third scene 200.
#[test]
fn a_script_on_its_way() {
    let begins = begins(&example(), 241_000);
    let times: Vec<u32> = begins.iter().map(|&(now, ..)| now).collect();
    #[rustfmt::skip]
    let expected = [
        0, 1,
        240_051, 240_251, 240_252, 240_452, 240_453, 240_653,
        240_704, 240_904, 240_905,
    ];
    assert_eq!(times, expected);
    assert_eq!(begins[1], (1, scene(65_535, 24_000).target, 240_000));
    assert_eq!(begins[2], (240_051, scene(30_000, 20).target, 200));
    assert_eq!(begins[3], (240_251, scene(10, 0).target, 0));
}

/// A script that only jumps holds nothing up, and one that ends stays.
#[test]
fn scripts_without_scenes() {
    let book = |steps: &[Step]| Small::from_tables(&[scene(1, 1)], steps).expect("agree");
    assert_eq!(begins(&book(&[Step::Jump(0)]), 1_000), []);
    assert_eq!(begins(&book(&[Step::Wait(0), Step::Jump(0)]), 1_000), []);
    assert_eq!(begins(&book(&[]), 1_000), []);
    assert_eq!(begins(&book(&[Step::Stop, Step::Scene(0)]), 1_000), []);
    assert_eq!(begins(&book(&[Step::Scene(0)]), 1_000).len(), 1);
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        (0u8..8).prop_map(Step::Scene),
        any::<u16>().prop_map(Step::Wait),
        (0u8..12, 1u8..=255).prop_map(|(from, times)| Step::Repeat { from, times }),
        (0u8..12).prop_map(Step::Jump),
        Just(Step::Stop),
    ]
}

fn scenes() -> impl Strategy<Value = Vec<Scene<3>>> {
    let scene = (any::<u16>(), uniform3(fractions()), any::<u16>());
    let scene = scene.prop_map(|(level, shares, tenths)| Scene {
        target: Target {
            level: Level::from_bits(level),
            recipe: Recipe::new(shares.map(Share::from_bits)),
        },
        tenths,
    });
    prop::collection::vec(scene, 0..=8)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn round_trip(scenes in scenes(), steps in prop::collection::vec(step(), 0..=12)) {
        if let Ok(book) = Small::from_tables(&scenes, &steps) {
            let bytes = image(&book);
            prop_assert!(bytes.len() <= Small::IMAGE_BYTES);
            prop_assert_eq!(Small::from_image(&bytes), Ok(book));
        }
    }

    /// Any bytes are refused, or are the image that they are read from.
    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..300), whole: bool) {
        let mut bytes = bytes;
        if whole && bytes.len() > 6 {
            bytes[..4].copy_from_slice(b"mg\x01\x01");
        }
        if let Ok(book) = Small::from_image(&bytes) {
            prop_assert_eq!(&image(&book)[..], &bytes[..image(&book).len()]);
        }
        let _ = Settings::from_image(&bytes);
    }

    /// Good images with bytes changed, swapped or cut out are refused by all that read images.
    #[test]
    fn mutations(changes in prop::collection::vec((any::<u16>(), any::<u8>(), 0u8..3), 1..5), kind in 0usize..3) {
        let mut settings = [0; SETTINGS_BYTES];
        Bus::new().gear.settings().to_image(&mut settings).expect("room");
        let mut lit = [0; Scene::<3>::IMAGE_BYTES];
        scene(12_345, 30).to_image(&mut lit).expect("room");
        let good = [image(&example()), settings.to_vec(), lit.to_vec()][kind].clone();
        let mut bad = good.clone();
        for (at, value, how) in changes {
            let at = usize::from(at) % bad.len();
            match how {
                0 => bad[at] = value,
                1 => {
                    let other = usize::from(value) % bad.len();
                    bad.swap(at, other);
                }
                _ => bad.truncate(at.max(1)),
            }
        }
        let taken = [
            Small::from_image(&bad).is_ok(),
            Settings::from_image(&bad).is_ok(),
            Scene::<3>::from_image(&bad).is_ok(),
        ];
        let mut expected = [false; 3];
        expected[kind] = bad == good;
        prop_assert_eq!(taken, expected);
    }

    /// What any frames made of a gear comes back after the power does, and the light with it.
    #[test]
    fn settings_round_trip(frames in prop::collection::vec(any::<u8>(), 0..200)) {
        let mut bus = Bus::new();
        for pair in frames.chunks_exact(2) {
            bus.register(0, pair[1]);
            bus.command(pair[0]);
            bus.command(pair[0]);
            bus.frame(0xC108);
        }
        let mut bytes = [0; SETTINGS_BYTES];
        bus.gear.settings().to_image(&mut bytes).expect("room");
        let settings = Settings::from_image(&bytes).expect("whole");
        prop_assert_eq!(&settings, bus.gear.settings());
        let mut gear = Gear::new(&CONFIGURATION).expect("a good configuration");
        gear.restore(&settings);
        prop_assert_eq!(gear.settings(), &settings);
    }
}
