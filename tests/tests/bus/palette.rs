//! Prepared recipes for the colours of a bus.

use milliglow::bus::{Colour, Palette};
use milliglow::{Error, Recipe, Share};

const WARM: Recipe<3> = Recipe::new([Share::FULL, Share::NONE, Share::from_bits(1 << 31)]);
const COOL: Recipe<3> = Recipe::new([Share::NONE, Share::FULL, Share::from_bits(1 << 31)]);

#[test]
fn between_colour_temperatures() {
    let palette = Palette::new([(150, COOL), (350, WARM)]).unwrap();
    for mirek in 0..=u16::MAX {
        let recipe = palette.recipe(Colour::Mirek(mirek)).unwrap();
        let way = (f64::from(mirek.clamp(150, 350)) - 150.0) / 200.0;
        let [warm, cool, white] = recipe
            .shares()
            .map(|share| f64::from(share.to_bits()) / 2f64.powi(32));
        assert!(
            (warm - way).abs() < 1e-5 && (cool - (1.0 - way)).abs() < 1e-5,
            "{mirek}"
        );
        assert_eq!(white, 0.5);
    }
    let refused = Palette::new([(350, COOL), (350, WARM)]);
    assert_eq!(refused, Err(Error::Knots));
}

/// Every primary level and every dim level, against the quotient.
#[test]
fn primaries_are_shares() {
    let palette = Palette::new([(150, COOL)]).unwrap();
    let first = |colour| palette.recipe(colour).unwrap().shares()[0].to_bits();
    for level in 0..=u16::MAX {
        let given = first(Colour::Primaries([level, 0, 0, 0, 0, 0]));
        let exact = (f64::from(level) / 65_534.0).min(1.0) * (2f64.powi(32) - 1.0);
        assert!((f64::from(given) - exact).abs() <= 3.0, "{level}");
    }
    for level in 0..=255 {
        let given = first(Colour::Rgbwaf([level, 0, 0, 0, 0, 0]));
        let exact = (f64::from(level) / 254.0).min(1.0) * (2f64.powi(32) - 1.0);
        assert!((f64::from(given) - exact).abs() <= 3.0, "{level}");
    }
    assert_eq!(first(Colour::Rgbwaf([0, 1, 2, 3, 4, 5])), 0);
    assert_eq!(palette.recipe(Colour::Chromaticity { x: 1, y: 2 }), None);
}
