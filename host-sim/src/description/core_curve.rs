//! From what a file says of curve and light to the core's.

use milliglow::curve::{Curve, Exponential};
use milliglow::{Level, Light};

use super::{CurveChoice, LevelChoice};

/// The core curve of a choice.
pub fn core_curve(choice: CurveChoice) -> Curve {
    match choice {
        CurveChoice::Exponential { depth, tail_levels } => {
            Curve::Exponential(Exponential::new(depth, tail_levels).expect("a validated curve"))
        }
        CurveChoice::Lightness => Curve::Lightness,
        CurveChoice::Linear => Curve::Linear,
    }
}

/// The Level of a choice on a curve.
pub fn level_of(curve: CurveChoice, choice: LevelChoice) -> Level {
    match choice {
        LevelChoice::Level(bits) => Level::from_bits(bits),
        LevelChoice::Light(fraction) => core_curve(curve).level(light(fraction)),
    }
}

/// A fraction as a light, rounded to the nearest unit of 2^-32; floats saturate on conversion, so 1 is full.
pub fn light(fraction: f64) -> Light {
    Light::from_bits((fraction * 4_294_967_296.0).round() as u32)
}
