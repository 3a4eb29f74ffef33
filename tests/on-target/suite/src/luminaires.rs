//! Whole luminaires: ten thousand control steps each through targets, paths, knots, pauses and black, with the ticks of each step.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{DitherWidth, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Channel, Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::Table;
use milliglow::{Error, Knots, Level, Light, Path, Recipe, Share, constant};

use crate::random::Random;
use crate::{Hash, Report, tables};

const CONTROL_STEPS: u32 = 10_000;

/// Words of a control step: one that is drawn alone, and a buffer. With one channel alone they make more than a million bits.
const BUFFER: usize = 3;
const _: () =
    assert!(CONTROL_STEPS >= 10_000 && CONTROL_STEPS as usize * (1 + BUFFER) * 32 >= 1_000_000);

pub(crate) fn run(report: Report<'_>) {
    report("luminaire of 1", of_any(&configuration::<1>()));
    report("luminaire of 2", of_any(&configuration::<2>()));
    report("luminaire of 5", of_any(&configuration::<5>()));
    report("luminaire of 9", of_any(&configuration::<9>()));
    report("luminaire of 16", of_any(&configuration::<16>()));
    report("luminaire with rows", of_any(&with_rows(RangeChoice::Own)));
    report(
        "luminaire with common rows",
        of_any(&with_rows(RangeChoice::Common)),
    );
    let Some(ways) = Ways::new() else {
        return report("luminaires without ways", 0);
    };
    let rowed = of_first_order();
    report(
        "luminaire of first order with rows",
        script(Luminaire::first_order(&rowed), &ways),
    );
    let plain = Configuration::new(curve(), [Modulation::FirstOrder; 5], 77);
    report("plain luminaire", script(Luminaire::plain(&plain), &ways));
}

/// Other ways to go than straight to a recipe.
struct Ways<const N: usize> {
    path: Path<N, 4>,
    knots: Knots<N, 4>,
}

impl<const N: usize> Ways<N> {
    fn new() -> Option<Self> {
        let mut random = Random::new(N as u32);
        let path = path(&mut random)?;
        let knots = knots(&mut random)?;
        Some(Self { path, knots })
    }
}

fn of_any<const N: usize>(configuration: &Configuration<'_, N>) -> u32 {
    Ways::new().map_or(0, |ways| script(Luminaire::new(configuration), &ways))
}

fn of_first_order() -> Configuration<'static, 5> {
    Configuration {
        modulation: [Modulation::FirstOrder; 5],
        operating: [
            &tables::CORRECTED,
            &tables::DARK,
            &Table::PLAIN,
            &tables::CORRECTED,
            &tables::DARK,
        ],
        ..configuration()
    }
}

fn curve() -> Curve {
    Curve::Exponential(constant!(Exponential::new(1_000, 2_048)))
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
    Configuration::new(curve(), modulation, 77)
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
fn go<'t, const N: usize, C: Channel<'t>>(
    luminaire: &mut Luminaire<'t, N, C>,
    random: &mut Random,
    Ways { path, knots }: &'t Ways<N>,
) {
    let target = target(random);
    match random.next() % 6 {
        0 => luminaire.fade_through(target.level, path),
        1 => luminaire.fade_along(target.level, knots.borrowed(), Pace::new(path.steps())),
        _ => luminaire.fade_to(&target, Pace::new(random.next() % 200)),
    }
}

fn script<'t, const N: usize, C: Channel<'t>>(
    made: Result<Luminaire<'t, N, C>, Error>,
    ways: &'t Ways<N>,
) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(N as u32));
    let Ok(mut luminaire) = made else {
        return 0;
    };
    let mut until_next = 0_u32;
    for _ in 0..CONTROL_STEPS {
        if until_next == 0 {
            until_next = random.next() % 150 + 1;
            go(&mut luminaire, &mut random, ways);
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

fn observe<'t, const N: usize, C: Channel<'t>>(
    luminaire: &mut Luminaire<'t, N, C>,
    hash: &mut Hash,
) {
    hash.words([
        luminaire.level().to_bits().into(),
        luminaire.remaining(),
        luminaire.is_black().into(),
    ]);
    hash.words(luminaire.shares().map(Share::to_bits));
    hash.words(luminaire.densities().map(|density| density.to_bits()));
    hash.words(luminaire.next_words());
    let mut buffers = [[0; BUFFER]; N];
    luminaire.fill(buffers.each_mut().map(<[u32; BUFFER]>::as_mut_slice));
    hash.words(buffers.into_iter().flatten());
    hash.word(luminaire.modulators().len() as u32);
    hash.words(luminaire.ranges().map(u32::from));
    hash.words(luminaire.row_numbers().map(u32::from));
    hash.words(luminaire.lags());
    for row in luminaire.rows() {
        hash.word(row.full().to_bits());
    }
}
