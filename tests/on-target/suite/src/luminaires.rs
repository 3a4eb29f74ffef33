//! Whole luminaires: ten thousand control steps each through targets, paths, knots, pauses and black, with the ticks of each step.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{DitherWidth, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::Table;
use milliglow::{Knots, Level, Light, Path, Recipe, Share, constant};

use crate::random::Random;
use crate::{Hash, Report, tables};

const CONTROL_STEPS: u32 = 10_000;

pub(crate) fn run(report: Report<'_>) {
    report("luminaire of 1", script(&configuration::<1>()));
    report("luminaire of 2", script(&configuration::<2>()));
    report("luminaire of 5", script(&configuration::<5>()));
    report("luminaire of 9", script(&configuration::<9>()));
    report("luminaire of 16", script(&configuration::<16>()));
    report("luminaire with rows", script(&with_rows(RangeChoice::Own)));
    report(
        "luminaire with common rows",
        script(&with_rows(RangeChoice::Common)),
    );
}

/// Rows of every kind, modulations that correct and that book, and a lowest light.
fn with_rows(range_choice: RangeChoice) -> Configuration<'static, 5> {
    let below = constant!(Light::from_ratio_nearest(1, 900));
    Configuration {
        operating: [
            &tables::CORRECTED,
            &tables::DARK,
            &Table::PLAIN,
            &tables::BOOKED,
            &tables::BOOKED,
        ],
        range_choice,
        lowest: match range_choice {
            RangeChoice::Own => Lowest::Off {
                below,
                hysteresis_shift: 3,
            },
            RangeChoice::Common => Lowest::Clamp(below),
        },
        ..configuration()
    }
}

fn configuration<const N: usize>() -> Configuration<'static, N> {
    let mut modulation = [Modulation::FirstOrder; N];
    for (k, modulation) in modulation.iter_mut().enumerate() {
        *modulation = match k {
            3 => Modulation::Dithered(DitherWidth::ONE_STEP),
            4 => Modulation::SecondOrder,
            _ => continue,
        };
    }
    let curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
    Configuration::new(curve, modulation, 77)
}

fn target<const N: usize>(random: &mut Random) -> Target<N> {
    let level = match random.next() % 4 {
        0 => Level::OFF,
        1 => Level::FULL,
        _ => Level::from_bits(random.any_length() as u16),
    };
    Target {
        level,
        recipe: recipe(random),
    }
}

fn recipe<const N: usize>(random: &mut Random) -> Recipe<N> {
    Recipe::new([(); N].map(|()| Share::from_bits(random.any_length())))
}

/// Legs of which some are longer than the time to the next target.
fn path<const N: usize>(random: &mut Random) -> Option<Path<N, 4>> {
    let recipes = [1, 5, 20, 90].map(|steps| (recipe(random), steps));
    Path::new(&recipes).ok()
}

fn knots<const N: usize>(random: &mut Random) -> Option<Knots<N, 4>> {
    let knot = |level| (Level::from_bits(level), recipe(random));
    Knots::of_first([3, 9_000, 40_000, 40_001].map(knot), 3).ok()
}

/// Where the luminaire goes next: mostly to a recipe.
fn go<'t, const N: usize>(
    luminaire: &mut Luminaire<'t, N>,
    random: &mut Random,
    path: &'t Path<N, 4>,
    knots: &'t Knots<N, 4>,
) {
    let target = target(random);
    match random.next() % 6 {
        0 => luminaire.fade_through(target.level, path),
        1 => luminaire.fade_along(target.level, knots.borrowed(), Pace::new(path.steps())),
        _ => luminaire.fade_to(&target, Pace::new(random.next() % 200)),
    }
}

fn script<const N: usize>(configuration: &Configuration<'_, N>) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(N as u32));
    let (Some(path), Some(knots)) = (path(&mut random), knots(&mut random)) else {
        return 0;
    };
    let Ok(mut luminaire) = Luminaire::new(configuration) else {
        return 0;
    };
    let mut until_next = 0_u32;
    for _ in 0..CONTROL_STEPS {
        if until_next == 0 {
            until_next = random.next() % 150 + 1;
            go(&mut luminaire, &mut random, &path, &knots);
        }
        until_next -= 1;
        match until_next {
            60 => luminaire.pause(),
            50 => luminaire.resume(),
            _ => {}
        }
        luminaire.control_step();
        observe(&mut luminaire, &mut hash);
    }
    hash.value()
}

fn observe<const N: usize>(luminaire: &mut Luminaire<'_, N>, hash: &mut Hash) {
    hash.words([
        luminaire.level().to_bits().into(),
        luminaire.remaining(),
        luminaire.is_black().into(),
    ]);
    hash.words(luminaire.shares().map(Share::to_bits));
    hash.words(luminaire.densities().map(|density| density.to_bits()));
    hash.words(luminaire.next_words());
    let mut buffers = [[0; 2]; N];
    luminaire.fill(buffers.each_mut().map(<[u32; 2]>::as_mut_slice));
    hash.words(buffers.into_iter().flatten());
    hash.word(luminaire.modulators().len() as u32);
    hash.words(luminaire.ranges().map(u32::from));
    hash.words(luminaire.row_numbers().map(u32::from));
    hash.words(luminaire.lags());
    for row in luminaire.rows() {
        hash.word(row.full().to_bits());
    }
}
