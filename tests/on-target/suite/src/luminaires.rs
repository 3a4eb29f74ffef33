//! Whole luminaires: ten thousand control steps each through targets, pauses and black, with the ticks of each step.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{DitherWidth, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Channel, Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::Table;
use milliglow::{Error, Level, Light, Recipe, Share, constant};

use crate::random::Random;
use crate::{Hash, Report, tables};

const CONTROL_STEPS: u32 = 10_000;

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
    report(
        "luminaire of first order with rows",
        script(Luminaire::first_order(&of_first_order())),
    );
    let plain = Configuration::new(curve(), [Modulation::FirstOrder; 5], 77);
    report("plain luminaire", script(Luminaire::plain(&plain)));
}

fn of_any<const N: usize>(configuration: &Configuration<'_, N>) -> u32 {
    script(Luminaire::new(configuration))
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
    let recipe = Recipe::new([(); N].map(|()| Share::from_bits(random.any_length())));
    Target { level, recipe }
}

fn script<'t, const N: usize, C: Channel<'t>>(made: Result<Luminaire<'t, N, C>, Error>) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(N as u32));
    let Ok(mut luminaire) = made else {
        return 0;
    };
    let mut until_next = 0_u32;
    for _ in 0..CONTROL_STEPS {
        if until_next == 0 {
            until_next = random.next() % 150 + 1;
            luminaire.fade_to(&target(&mut random), Pace::new(random.next() % 200));
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
