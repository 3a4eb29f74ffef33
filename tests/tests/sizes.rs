//! What everything costs in RAM, that it can be built in a `static`, and that no state can be copied by accident.

use std::mem::size_of;

use milliglow::curve::{ControlLevel, Curve, Exponential};
use milliglow::density::{
    Density, DitherWidth, Dithered, FirstOrder, Held, Lfsr32, Modulation, Modulator, NoiseSource,
    SecondOrder, Timer,
};
use milliglow::fade::{Fade, Pace};
use milliglow::flux_correction::{Channel, Estimator, FluxTable, Temperature};
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::operating::{Row, Table};
use milliglow::output::{Duties, Refill, Run, RunLengths, SentHalves};
use milliglow::requantise::Requantiser;
use milliglow::{Knots, Level, Light, Path, Recipe, Share, constant};

static CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
static HALF: Share = constant!(Share::from_ratio_nearest(1, 2));
static WARM: Recipe<2> = Recipe::new([Share::FULL, HALF]);
static WARMING: Knots<2, 2> = constant!(Knots::new([
    (Level::OFF, Recipe::new([Share::FULL, Share::NONE])),
    (Level::FULL, WARM),
]));
static RISING: Path<2, 3> = constant!(Path::new(&[(WARM, 500), (WARM, 1_000)]));
static TARGET: Target<2> = Target {
    level: Level::FULL,
    recipe: WARM,
};
static PACE: Pace = Pace::new(100_000);
static FADE: Fade<2> = Fade::at([1, 2]);
static NOISE: Lfsr32 = constant!(Lfsr32::new(7));
static CONFIGURATION: Configuration<2> = Configuration::new(
    CURVE,
    [
        Modulation::FirstOrder,
        Modulation::Dithered(constant!(DitherWidth::new(3))),
    ],
    1,
);
static LUMINAIRE: Luminaire<2> = constant!(Luminaire::new(&CONFIGURATION));

static CORRECTION: milliglow::flux_correction::Configuration<2> =
    constant!(milliglow::flux_correction::Configuration::new(
        [Channel::PLAIN; 2],
        100,
        Temperature::from_bits(25 * 64)
    ));
static ESTIMATOR: Estimator<2> = Estimator::new(&CORRECTION);

#[test]
fn flux_correction() {
    assert_eq!(ESTIMATOR.correct(&WARM), WARM);
    assert_eq!(size_of::<FluxTable>(), 100);
    assert_eq!(size_of::<Channel>(), 116);
    assert_eq!(size_of_val(&CORRECTION), 2 * (116 + 8) + 12);
    let warmth_board_lost = 4 * 5 + 2 + 2;
    assert_eq!(
        size_of::<Estimator<5>>(),
        (size_of::<usize>() + warmth_board_lost).next_multiple_of(size_of::<usize>())
    );
}

#[test]
fn statics_run() {
    let mut luminaire = LUMINAIRE.clone();
    luminaire.fade_to(&TARGET, Pace::AT_ONCE);
    luminaire.control_step();
    assert_eq!(luminaire.densities()[0], Density::FULL);
    assert_eq!(luminaire.densities()[1].to_bits(), HALF.to_bits());
    assert_eq!(CURVE.light(Level::FULL), Light::FULL);
    assert_eq!(WARMING.recipe(Level::FULL), WARM);
    luminaire.fade_through(Level::FULL, &RISING);
    assert_eq!(luminaire.remaining(), 1_500);
    assert_eq!((PACE.steps(), FADE.values()), (100_000, [1, 2]));
    assert_eq!(NoiseSource::next(&mut NOISE.clone()), 0x8020_0000);
}

#[test]
fn values() {
    assert_eq!(size_of::<Light>(), 4);
    assert_eq!(size_of::<Level>(), 2);
    assert_eq!(size_of::<Share>(), 4);
    assert_eq!(size_of::<Density>(), 4);
    assert_eq!(size_of::<Recipe<5>>(), 20);
    assert_eq!(size_of::<Knots<5, 16>>(), 16 * (8 + 5 * 4));
    assert_eq!(
        size_of::<Path<5, 8>>(),
        8 * 16 * (1 + 5) + 8 + size_of::<usize>()
    );
    assert_eq!(size_of::<ControlLevel>(), 1);
    assert_eq!(size_of::<Exponential>(), 20);
    assert_eq!(size_of::<Pace>(), 8);
}

#[test]
fn states() {
    assert_eq!(size_of::<FirstOrder>(), 8);
    assert_eq!(size_of::<Held>(), 48);
    assert_eq!(size_of::<SecondOrder>(), 16);
    assert_eq!(size_of::<Dithered>(), 12);
    assert_eq!(size_of::<Requantiser>(), 12);
    assert_eq!(size_of::<Timer>(), 16);
    assert_eq!(size_of::<Modulator>(), 20);
    assert_eq!(size_of::<Lfsr32>(), 4);
}

#[test]
fn outputs() {
    assert_eq!(size_of::<Run>(), 4);
    assert_eq!(size_of::<RunLengths>(), 6);
    assert_eq!(size_of::<Duties<5>>(), 5 * 20);
    assert_eq!(size_of::<Refill>(), 8);
    assert_eq!(size_of::<SentHalves>(), 4);
}

#[test]
fn rows_fit_flash() {
    assert_eq!(size_of::<Row>(), 32);
    assert_eq!(size_of::<Table>(), 328);
}

#[test]
fn a_fade_has_16_bytes_a_value() {
    assert_eq!(size_of::<Fade<1>>(), 16 + 16);
    assert_eq!(size_of::<Fade<6>>(), 16 + 6 * 16);
}

/// With pointers of 64 bits; the core asserts 100 and 52 a channel where they have 32.
#[test]
fn a_luminaire_has_116_bytes_and_60_a_channel() {
    assert_eq!(size_of::<Luminaire<1>>(), 116 + 60);
    assert_eq!(size_of::<Luminaire<5>>(), 116 + 5 * 60);
}

/// Ambiguous, so not compiled, for a type that is `Copy`.
trait NotCopy<Which> {
    fn checked() {}
}
impl<T: Clone> NotCopy<()> for T {}
impl<T: Copy> NotCopy<u8> for T {}

#[test]
fn states_are_clone_and_not_copy() {
    <FirstOrder as NotCopy<_>>::checked();
    <Held as NotCopy<_>>::checked();
    <SecondOrder as NotCopy<_>>::checked();
    <Dithered as NotCopy<_>>::checked();
    <Timer as NotCopy<_>>::checked();
    <Requantiser as NotCopy<_>>::checked();
    <Modulator as NotCopy<_>>::checked();
    <Lfsr32 as NotCopy<_>>::checked();
    <Fade<2> as NotCopy<_>>::checked();
    <Luminaire<2> as NotCopy<_>>::checked();
}
