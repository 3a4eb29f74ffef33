//! The inverse of every curve, at every Level.

use milliglow::curve::{Curve, Exponential};
use milliglow::{Level, Light};

use crate::exponential::grid;

fn curves() -> impl Iterator<Item = Curve> {
    let others = [
        Curve::Lightness,
        Curve::Linear,
        Curve::Exponential(Exponential::IEC_LOGARITHMIC),
    ];
    grid()
        .map(|(_, _, curve)| Curve::Exponential(curve))
        .chain(others)
}

#[test]
fn gives_back_every_level_and_rounds_down() {
    for curve in curves() {
        for level in (0..=u16::MAX).map(Level::from_bits) {
            let light = curve.light(level);
            assert_eq!(curve.level(light), level, "{curve:?}");
            if level > Level::OFF {
                let below = Light::from_bits(light.to_bits() - 1);
                assert_eq!(
                    curve.level(below).to_bits(),
                    level.to_bits() - 1,
                    "{curve:?}"
                );
            }
        }
    }
}
