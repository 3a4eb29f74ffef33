//! All Levels of all curves, and back.

use milliglow::curve::{ControlCurve, ControlLevel, Curve, Exponential};
use milliglow::{Level, Light, constant};

use crate::random::Random;
use crate::{Hash, Report};

const CURVES: [(&str, Curve); 7] = [
    (
        "exponential 10",
        Curve::Exponential(constant!(Exponential::new(10, 0))),
    ),
    (
        "exponential 1000 tail 2048",
        Curve::Exponential(constant!(Exponential::new(1_000, 2_048))),
    ),
    (
        "exponential 10000",
        Curve::Exponential(constant!(Exponential::new(10_000, 0))),
    ),
    (
        "exponential 100000 tail 4096",
        Curve::Exponential(constant!(Exponential::new(100_000, 4_096))),
    ),
    (
        "exponential of the bus",
        Curve::Exponential(Exponential::IEC_LOGARITHMIC),
    ),
    ("lightness", Curve::Lightness),
    ("linear", Curve::Linear),
];

pub(crate) fn run(report: Report<'_>) {
    for (name, curve) in CURVES {
        report(name, there_and_back(curve));
    }
    control_levels(
        "control levels logarithmic",
        ControlCurve::Logarithmic,
        report,
    );
    control_levels("control levels linear", ControlCurve::Linear, report);
    depths(report);
}

/// Curves that are made at run time.
fn depths(report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(3));
    for _ in 0..200 {
        let (depth, tail) = (random.any_length() % 120_000, random.next() as u16 % 5_000);
        match Exponential::new(depth, tail) {
            Ok(curve) => hash.words((0..4).map(|_| {
                curve
                    .light(Level::from_bits(random.next() as u16))
                    .to_bits()
            })),
            Err(error) => hash.word(error.message().len() as u32),
        }
    }
    report("exponentials at run time", hash.value());
}

fn there_and_back(curve: Curve) -> u32 {
    let (mut hash, mut random) = (Hash::new(), Random::new(4));
    for level in 0..=u16::MAX {
        hash.word(curve.light(Level::from_bits(level)).to_bits());
    }
    for _ in 0..4_096 {
        let light = Light::from_bits(random.any_length());
        hash.word(curve.level(light).to_bits().into());
    }
    hash.value()
}

fn control_levels(name: &str, curve: ControlCurve, report: Report<'_>) {
    let (mut hash, mut random) = (Hash::new(), Random::new(5));
    for level in (0..=u8::MAX).filter_map(|number| ControlLevel::new(number).ok()) {
        let (continuous, place) = curve.continuous(level);
        hash.words([
            curve.light(level).to_bits(),
            continuous.light(place).to_bits(),
        ]);
        let back = curve.level(Light::from_bits(random.any_length()));
        hash.word(back.map_or(0, ControlLevel::number).into());
    }
    report(name, hash.value());
}
