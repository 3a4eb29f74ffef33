//! The lightness curve against CIE 1976 L*.

use milliglow::curve::Curve;
use milliglow::{Level, Light};
use milliglow_tests::data::rows;

fn light(level: u16) -> f64 {
    Curve::Lightness.light(Level::from_bits(level)).as_f64()
}

/// CIE 15, section 8.2.1, solved for the light.
fn closed_form(lightness: f64) -> f64 {
    if lightness > 8.0 {
        ((lightness + 16.0) / 116.0).powi(3)
    } else {
        lightness * (3.0_f64 / 29.0).powi(3)
    }
}

#[test]
fn within_the_stated_error_at_every_level() {
    for level in 0..=u16::MAX {
        let exact = closed_form(f64::from(level) / 655.35);
        let off = (light(level) - exact).abs();
        assert!(off <= 1.3e-9, "Level {level}: {off:e}");
        assert!(
            exact < 5e-4 || off <= 5e-7 * exact,
            "Level {level}: {off:e} of {exact}"
        );
    }
}

#[test]
fn strictly_increasing_and_exact_at_both_ends() {
    assert!((1..=u16::MAX).all(|level| light(level - 1) < light(level)));
    assert_eq!(Curve::Lightness.light(Level::OFF), Light::BLACK);
    assert_eq!(Curve::Lightness.light(Level::FULL), Light::FULL);
}

#[test]
fn light_of_the_published_lightness() {
    for row in rows("eye_lightness.csv")
        .iter()
        .filter(|row| row.text("direction") == "L*->Y/Yn")
    {
        let (lightness, expected): (f64, f64) = (row.parsed("input"), row.parsed("output"));
        // Between two Levels the curve is straight within 1e-9.
        let place = lightness * 655.35;
        let (below, part) = (place.floor(), place.fract());
        let next = light((below as u16).saturating_add(1));
        let got = light(below as u16) * (1.0 - part) + next * part;
        assert!(
            (got - expected).abs() <= 2e-6,
            "L* {lightness}: {got}, not {expected}"
        );
    }
}

/// The inverse rounds down by up to a Level, 0.0015 of L*; 2e-6 of light is up to 0.0018 of L*.
#[test]
fn lightness_of_the_published_light() {
    for row in rows("eye_lightness.csv")
        .iter()
        .filter(|row| row.text("direction") == "Y/Yn->L*")
    {
        let (light, expected): (f64, f64) = (row.parsed("input"), row.parsed("output"));
        let bits = (light * 4_294_967_296.0).min(4_294_967_295.0) as u32;
        let got = f64::from(Curve::Lightness.level(Light::from_bits(bits)).to_bits()) / 655.35;
        assert!(
            (got - expected).abs() <= 0.0034,
            "light {light}: L* {got}, not {expected}"
        );
    }
}
